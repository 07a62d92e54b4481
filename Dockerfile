# syntax=docker/dockerfile:1
# One image with the program and nothing to log in to. It needs a PostgreSQL of
# its own beside it, named in DATABASE_URL (see deploy/compose.yaml).

FROM golang:1.27.3-bookworm AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY . .
RUN CGO_ENABLED=0 go build -trimpath -ldflags='-s -w' -o /halfhour ./cmd/halfhour

FROM debian:bookworm-slim
RUN apt-get update \
 && apt-get install -y --no-install-recommends ca-certificates curl \
 && rm -rf /var/lib/apt/lists/* \
 && useradd --system --uid 10001 --no-create-home --home-dir /nonexistent --shell /usr/sbin/nologin halfhour \
 && install -d -o halfhour -g halfhour -m 700 /var/lib/halfhour
COPY --from=build /halfhour /usr/local/bin/halfhour
COPY LICENSE THIRD_PARTY.md /usr/share/doc/halfhour/
USER 10001
ENV HALFHOUR_LISTEN=:8080 HALFHOUR_LOG_JSON=true HALFHOUR_DATA=/var/lib/halfhour
EXPOSE 8080
HEALTHCHECK --interval=15s --timeout=5s --start-period=30s CMD ["curl", "-fsS", "-o", "/dev/null", "http://127.0.0.1:8080/readyz"]
STOPSIGNAL SIGTERM
ENTRYPOINT ["halfhour"]
CMD ["serve"]
