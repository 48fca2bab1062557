package jobbook

// bounds is empty on the phone, which checks one record at a time and starts the sooner for not reading every limit first.
var bounds map[bound]float64
