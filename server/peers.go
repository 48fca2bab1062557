package server

import (
	"net/http"

	"github.com/prometheus/client_golang/prometheus"

	"datumbook/server/peer"
	"datumbook/server/web"
)

// Peers are the databases elsewhere that this office's books are kept equal with; *peer.Keeper is one.
type Peers interface {
	States() []peer.State
	Reread() error // takes up a changed list
}

// peerList tells how far the copies are. Secrets are not among what it tells.
func (s *Server) peerList(w http.ResponseWriter, r *http.Request) error {
	return web.JSON(w, http.StatusOK, s.Peers.States())
}

func (s *Server) peerReread(w http.ResponseWriter, r *http.Request) error {
	if err := s.Peers.Reread(); err != nil {
		return web.NewError(http.StatusInternalServerError, "peers", "peers", err.Error())
	}
	return web.JSON(w, http.StatusOK, s.Peers.States())
}

// peerFigures tells of the copies among the metrics.
type peerFigures struct{ of Peers }

var (
	peerLabels  = []string{"peer", "name", "way"}
	peerWaiting = prometheus.NewDesc("datumbook_peer_waiting",
		"Changes not carried over yet; -1 where that is not known.", peerLabels, nil)
	peerSuccess = prometheus.NewDesc("datumbook_peer_last_success_seconds",
		"When both ends last were equal, as far as known; 0 if never.", peerLabels, nil)
	peerAside = prometheus.NewDesc("datumbook_peer_set_aside",
		"Records that could not be carried over.", peerLabels, nil)
	peerFaults = prometheus.NewDesc("datumbook_peer_failures_total",
		"Times that the exchange failed, since the office started.", peerLabels, nil)
	peerCarried = prometheus.NewDesc("datumbook_peer_carried_total",
		"Revisions carried over, since the office started.", peerLabels, nil)
)

// Describe lists the figures.
func (peerFigures) Describe(to chan<- *prometheus.Desc) {
	for _, d := range []*prometheus.Desc{peerWaiting, peerSuccess, peerAside, peerFaults, peerCarried} {
		to <- d
	}
}

// Collect reads them.
func (f peerFigures) Collect(to chan<- prometheus.Metric) {
	for _, s := range f.of.States() {
		for way, l := range s.Legs() {
			gauge := func(d *prometheus.Desc, kind prometheus.ValueType, v float64) {
				to <- prometheus.MustNewConstMetric(d, kind, v, s.ID, s.Name, way)
			}
			success := 0.0
			if !l.Success.IsZero() {
				success = float64(l.Success.UnixMilli()) / 1000
			}
			gauge(peerWaiting, prometheus.GaugeValue, float64(l.Waiting))
			gauge(peerSuccess, prometheus.GaugeValue, success)
			gauge(peerAside, prometheus.GaugeValue, float64(len(l.Aside)))
			gauge(peerFaults, prometheus.CounterValue, float64(l.Faults))
			gauge(peerCarried, prometheus.CounterValue, float64(l.Carried))
		}
	}
}
