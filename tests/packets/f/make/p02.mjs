/** p02. British: a windscreen; scans on their side (systems across), a JSON of key-value lists, a letter with its mail head. */
import { vinOf } from '../../e/make/lib.mjs'
import { packet } from './press.mjs'

const p = packet('p02')
const vin = vinOf('7WTPA2CL_SE440916')
const car = { vin, plate: 'QX75 HLV' }
const jobNumber = 'JC-08831'
const names = ['Engine', 'ABS', 'Airbag', 'Front camera', 'Body', 'Cluster']
const scan = ({ file, title, when, local, miles, volts, found, kind }) => {
  const line = (name, cells) => [name, ...cells].join('\t')
  p.text(file, `${title}
Job card\t${jobNumber}
Reg. mark\tQX75 HLV
Chassis no.\t${vin}
Taken\t${when}
Mileage\t${miles} miles
Battery\t${volts} V
Read by\tKeir Ottaway
Reader\tWendle Pocket
Reader serial\tWP-118820
Firmware\tR14

${line('System', names)}
${line('Result', names.map((name) => (found.some((one) => one.module === name) ? 'Fault' : 'OK')))}
${line('Codes', names.map((name) => found.filter((one) => one.module === name).map((one) => `${one.code}-${one.failureType} (${one.word})`).join(' ') || '-'))}

Number of codes\t${found.length}
`, { kind, ...car, jobNumber, date: { local }, odometer: { value: miles, unit: 'mi' }, batteryVolts: volts, technician: 'Keir Ottaway', instrument: { serial: 'WP-118820', software: 'R14' }, modules: names.map((name) => ({ name, state: found.some((one) => one.module === name) ? 'fault' : 'no-fault' })), codes: found.map(({ word, ...code }) => code), statedCodeCount: found.length })
}
scan({ file: 'scan on arrival.tsv', title: 'Pre-repair scan', when: '17/08/2026 08:55', local: '2026-08-17T08:55', miles: 20417, volts: 12.4, kind: 'pre-scan', found: [{ module: 'Front camera', code: 'U1102', failureType: '54', status: 'stored', word: 'stored' }] })
scan({ file: 'scan on leaving.tsv', title: 'Post-repair scan', when: '18/08/2026 16:20', local: '2026-08-18T16:20', miles: 20418, volts: 12.9, kind: 'post-scan', found: [] })
p.text('camera.json', `${JSON.stringify({ title: 'Calibration record', entries: [
  { key: 'Chassis no.', value: vin }, { key: 'Registration', value: 'QX75 HLV' }, { key: 'Job card', value: jobNumber }, { key: 'Mileage', value: '20418 miles' },
  { key: 'Sensor', value: 'Windscreen camera' }, { key: 'Method', value: 'Static, target board' }, { key: 'Started', value: '18/08/2026 15:02' }, { key: 'Finished', value: '18/08/2026 15:31' },
  { key: 'Outcome', value: 'Passed' }, { key: 'Camera serial', value: 'TC-90-55102' }, { key: 'Technician', value: 'Keir Ottaway' }, { key: 'Instrument serial', value: 'WB-2004' }, { key: 'Software', value: '8.1.3' }, { key: 'Procedure', value: 'Tamberline TB-210 issue 4' }],
  results: { columns: ['Measurement', 'Low', 'High', 'Found', 'Unit'], rows: [['Pitch', -1.5, 1.5, 0.22, 'deg'], ['Yaw', -2, 2, -0.4, 'deg'], ['Roll', -1, 1, 0.05, 'deg']] } }, null, 1)}\n`,
{ kind: 'calibration', ...car, jobNumber, odometer: { value: 20418, unit: 'mi' }, technician: 'Keir Ottaway', instrument: { serial: 'WB-2004', software: '8.1.3' }, calibrations: [{ sensor: 'front-camera', method: 'static', outcome: 'completed', serial: 'TC-90-55102', started: { local: '2026-08-18T15:02' }, ended: { local: '2026-08-18T15:31' }, values: [{ name: 'Pitch', value: 0.22 }, { name: 'Yaw', value: -0.4 }, { name: 'Roll', value: 0.05 }] }] })
const lines = [['Scan before work', 49], ['Windscreen, heated, renew', 612.5], ['Windscreen camera calibration, static', 210], ['Scan after work', 49]]
const operations = lines.map(([text, amount]) => ({ text, amount }))
p.text('quote.txt', `From: Otterford Glass <jobs@otterford.example>
To: claims@insurer.example
Sent: Friday, 14 August 2026 11:40
Subject: Quotation for QX75 HLV

Good morning,

please find our quotation for the vehicle with chassis number ${vin}, registration QX75 HLV,
claim reference MUT/26/70441, our job ${jobNumber}. The mileage when we saw it was 20,402.

${lines.map(([text, n]) => `  - ${text}, £${n.toFixed(2)}`).join('\n')}

In total £${lines.reduce((s, [, n]) => s + n, 0).toFixed(2)} excluding VAT.

Kind regards
Maud Pellow
`, { kind: 'estimate', ...car, jobNumber, claimNumber: 'MUT/26/70441', date: { local: '2026-08-14T11:40' }, odometer: { value: 20402 }, operations })
p.page('invoice.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:18mm}body{font:10pt 'Nimbus Sans'}th{text-align:left;vertical-align:top}td,th{padding:2px 8px}.n{text-align:right}</style>
<h1>INVOICE</h1><table><tr><th>Invoice no.</th><th>Tax point</th><th>Job card</th><th>Claim ref.</th></tr><tr><td>INV-3301</td><td>19 August 2026</td><td>${jobNumber}</td><td>MUT/26/70441</td></tr><tr><th>Registration</th><th>Mileage</th><th colspan="2">Chassis no.</th></tr><tr><td>QX75 HLV</td><td>20,418 mi</td><td colspan="2">${vin}</td></tr></table><hr>
<table style="width:100%">${lines.map(([text, n]) => `<tr><td>${text}</td><td class="n">${n.toFixed(2)}</td></tr>`).join('')}<tr><td>Net</td><td class="n">${lines.reduce((s, [, n]) => s + n, 0).toFixed(2)}</td></tr></table>`,
{ made: '2026-08-19T09:00:00+01:00', by: 'Ledgerbird' }, { kind: 'invoice', ...car, jobNumber, claimNumber: 'MUT/26/70441', date: { local: '2026-08-19' }, odometer: { value: 20418, unit: 'mi' }, operations, pages: 1 })
p.text('packet.yaml', 'packet: 1\nzone: Europe/London\nintake: 2026-08-17T08:40\nrelease: 2026-08-19\n')
p.end({ note: 'Windscreen; scans on their side. All consistent.' })
