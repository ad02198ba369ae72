# The program alone on a small system: cgo for SQLite, nothing of the build kept.
FROM golang:1.26-bookworm AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY engine ./engine
COPY store ./store
COPY commands ./commands
COPY bot ./bot
RUN CGO_ENABLED=1 go build -trimpath -ldflags="-s -w" -o /out/bot ./bot

FROM debian:bookworm-slim
RUN useradd --uid 10001 --home-dir /book --create-home --shell /usr/sbin/nologin woodruff
COPY --from=build /out/bot /usr/local/bin/bot
USER woodruff
WORKDIR /book
VOLUME /book
# Sound while the book on the volume holds, or while there is none yet.
HEALTHCHECK --interval=5m --timeout=1m CMD test ! -e /book/shop.db || bot verify --book /book/shop.db
ENTRYPOINT ["bot"]
CMD ["chat", "--book", "/book/shop.db", "--zone", "Etc/UTC"]
