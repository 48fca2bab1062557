package store

const windows = true
