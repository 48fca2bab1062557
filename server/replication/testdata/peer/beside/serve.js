// Serves another office of the protocol on a free port: node serve.js FOLDER. Prints its address,
// then serves until it is killed.
'use strict';
const path = require('path');
const express = require('express');
const PouchDB = require('pouchdb').defaults({ prefix: process.argv[2] + path.sep });
const app = express();
app.use('/sync', require('express-pouchdb')(PouchDB, { mode: 'minimumForPouchDB', inMemoryConfig: true }));
const server = app.listen(0, '127.0.0.1', () => console.log('http://127.0.0.1:' + server.address().port));
