module datumbook

go 1.26.0

require (
	github.com/andybalholm/brotli v1.2.8 // indirect
	github.com/chromedp/cdproto v0.159.0 // indirect
	github.com/chromedp/chromedp v0.23.0 // indirect
	github.com/evanw/esbuild v0.28.2 // indirect
	github.com/go-json-experiment/json v0.0.0-20260213210345-44df1a37e875 // indirect
	github.com/gorilla/mux v1.8.1 // indirect
	github.com/prometheus/client_golang v1.25.0 // indirect
	github.com/rogpeppe/go-internal v1.16.0 // indirect
	github.com/rs/cors v1.11.1 // indirect
	github.com/stretchr/testify v1.12.1 // indirect
	go.etcd.io/bbolt v1.5.0 // indirect
	golang.org/x/sys v0.48.0 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)
