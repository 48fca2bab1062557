// Runs one scenario of scenarios.js against the address given: node run.js ADDRESS SCENARIO
// [ARGUMENT...] Prints one JSON object with what the scenario found; leaves with 1 and the reason
// if something is not as it should be.
'use strict';
const fs = require('fs');
const os = require('os');
const path = require('path');
const PouchDB = require('pouchdb');

const [address, name, ...args] = process.argv.slice(2);
const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'peer-'));
const scenario = require('./scenarios.js')[name];

(async () => {
  if (!scenario) throw new Error('no scenario ' + name);
  const out = await scenario({ PouchDB, address, folder, args });
  process.stdout.write(JSON.stringify(out || {}) + '\n');
})().then(() => 0, (err) => { console.error(err && err.stack || err); return 1; }).then((code) => {
  fs.rmSync(folder, { recursive: true, force: true });
  process.exit(code);
});
