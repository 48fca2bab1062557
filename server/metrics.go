package server

import (
	"net/http"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
)

// metrics counts in the open Prometheus text format. Each server has its own
// registry, so that two in one program do not mix.
type metrics struct {
	requests *prometheus.CounterVec
	seconds  *prometheus.HistogramVec
	inFlight prometheus.Gauge
	panics   prometheus.Counter
	page     http.Handler
	registry *prometheus.Registry
}

func newMetrics() *metrics {
	m := &metrics{
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{
			Name: "datumbook_requests_total", Help: "Requests answered, by method, route and status.",
		}, []string{"method", "route", "status"}),
		seconds: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name: "datumbook_request_seconds", Help: "Time from a request's headers to the end of its answer.",
			Buckets: []float64{.001, .003, .01, .03, .1, .3, 1, 3, 10, 60},
		}, []string{"route"}),
		inFlight: prometheus.NewGauge(prometheus.GaugeOpts{
			Name: "datumbook_requests_in_flight", Help: "Requests being answered now, long polls included.",
		}),
		panics: prometheus.NewCounter(prometheus.CounterOpts{
			Name: "datumbook_handler_panics_total", Help: "Requests that met a fault of our own.",
		}),
		registry: prometheus.NewRegistry(),
	}
	m.registry.MustRegister(m.requests, m.seconds, m.inFlight, m.panics,
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	m.page = promhttp.HandlerFor(m.registry, promhttp.HandlerOpts{})
	return m
}

// count notes an answered request. Only methods and routes of the table become labels: clients
// cannot fill memory with labels.
func (m *metrics) count(method, route string, status int, took time.Duration) {
	switch method {
	case "GET", "HEAD", "POST", "PUT", "DELETE", "COPY", "OPTIONS":
	default:
		method = "other"
	}
	m.requests.WithLabelValues(method, route, strconv.Itoa(status)).Inc()
	m.seconds.WithLabelValues(route).Observe(took.Seconds())
}

func (m *metrics) serve(w http.ResponseWriter, r *http.Request) error {
	m.page.ServeHTTP(w, r)
	return nil
}
