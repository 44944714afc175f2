/** p05. American, with defects: the radar's yaw is out of its limits, the last scan is older than the calibration. JSON lines, a log of a terminal, a form on its side. */
import { vinOf } from '../../e/make/lib.mjs'
import { packet } from './press.mjs'

const p = packet('p05')
const vin = vinOf('7ZMCK3BF_SA556120')
const car = { vin, vehicle: { year: 2025, make: 'Marlowe', model: 'Keel' }, plate: 'GTR 5518' }
const [jobNumber, claimNumber] = ['RO60117', 'CV-88-204417']
const names = ['Powertrain', 'Brake control', 'Restraints', 'Forward radar', 'Forward camera', 'Body gateway', 'Cluster']
const scan = ({ file, phase, when, local, miles, volts, found, kind }) => {
  const rows = [{ record: 'session', phase, vin, vehicle: '2025 Marlowe Keel', plate: 'GTR 5518', repairOrder: jobNumber, taken: when, odometer: `${miles} mi`, battery: `${volts} V`, technician: 'Dot Hanrahan', tool: 'Pewter Link', toolSerial: 'PL-30091', softwareVersion: '9.9.2' }, ...names.map((module) => ({ record: 'module', module, state: found.some((one) => one.module === module) ? 'fault' : 'no fault' })), ...found.map(({ module, code, failureType, status }) => ({ record: 'code', module, code: `${code}-${failureType}`, status })), { record: 'summary', totalCodes: found.length }]
  p.text(file, `${JSON.stringify(rows, null, 1)}\n`, { kind, ...car, jobNumber, date: { local, offset: '-06:00' }, odometer: { value: miles, unit: 'mi' }, batteryVolts: volts, technician: 'Dot Hanrahan', instrument: { serial: 'PL-30091', software: '9.9.2' }, modules: names.map((name) => ({ name, state: found.some((one) => one.module === name) ? 'fault' : 'no-fault' })), codes: found, statedCodeCount: found.length })
}
scan({ file: 'scan-1.json', phase: 'Pre-repair scan', when: '2026-02-09T08:02:11-06:00', local: '2026-02-09T08:02:11', miles: 18240, volts: 12.6, kind: 'pre-scan', found: [{ module: 'Forward radar', code: 'C1A67', failureType: '76', status: 'active' }] })
scan({ file: 'scan-2.json', phase: 'Post-repair scan', when: '2026-02-11T09:40:00-06:00', local: '2026-02-11T09:40', miles: 18241, volts: 12.7, kind: 'post-scan', found: [] })
p.text('radar_station.log', `2026-02-11 13:20:04 -0600 | station   | BENCHLY 4 serial BY4-2231 software 2.4.0
2026-02-11 13:20:04 -0600 | operator  | Dot Hanrahan
2026-02-11 13:20:05 -0600 | vehicle   | VIN ${vin} RO ${jobNumber} plate GTR 5518 odometer 18241 mi
2026-02-11 13:20:06 -0600 | procedure | Marlowe M-5510 rev C
2026-02-11 13:20:09 -0600 | begin     | Static calibration: forward radar, serial MR-88-10442
2026-02-11 13:29:40 -0600 | value     | Pitch: 0.20 deg (min -1.00, max 1.00)
2026-02-11 13:29:41 -0600 | value     | Yaw: 1.34 deg (min -1.00, max 1.00)
2026-02-11 13:41:30 -0600 | end       | Calibration completed
`, { kind: 'calibration', vin, plate: car.plate, jobNumber, odometer: { value: 18241, unit: 'mi' }, technician: 'Dot Hanrahan', instrument: { serial: 'BY4-2231', software: '2.4.0' }, calibrations: [{ sensor: 'front-radar', method: 'static', outcome: 'completed', serial: 'MR-88-10442', values: [{ name: 'Pitch', value: 0.2 }, { name: 'Yaw', value: 1.34 }] }] })
const lines = [['Pre-repair scan', 60], ['R&R front bumper cover', 540.25], ['Replace forward radar bracket', 96.1], ['Forward radar static calibration', 250], ['Post-repair scan', 60]]
const operations = lines.map(([text, amount]) => ({ text, amount }))
const sum = lines.reduce((s, [, n]) => s + n, 0)
const paper = (title, label, date, miles) => `<!doctype html><meta charset="utf-8"><style>@page{size:letter;margin:14mm}body{font:9.5pt 'Liberation Sans'}table.k td{border:1px solid #999;padding:0 4px;vertical-align:top;height:26px}small{display:block;font-size:6.5pt;color:#666}table.l{width:100%;margin-top:10px}table.l td:last-child{text-align:right}</style><h2>${title}</h2><table class="k"><tr><td><small>${label}</small>${date}</td><td><small>RO number</small>${jobNumber}</td><td><small>Claim number</small>${claimNumber}</td><td><small>License plate</small>GTR 5518</td></tr><tr><td colspan="2"><small>VIN</small>${vin}</td><td><small>Year make model</small>2025 Marlowe Keel</td><td><small>Odometer</small>${miles} mi</td></tr></table><table class="l">${lines.map(([text, n], at) => `<tr><td>${at + 1}</td><td>${text}</td><td>$${n.toFixed(2)}</td></tr>`).join('')}<tr><td></td><td>Grand total</td><td>$${sum.toFixed(2)}</td></tr></table>`
p.page('estimate.pdf', paper('ESTIMATE OF RECORD', 'Estimate date', 'Feb 5, 2026', '18,236'), { made: '2026-02-05T10:00:00-06:00', by: 'Quillpost' }, { kind: 'estimate', ...car, jobNumber, claimNumber, date: { local: '2026-02-05' }, odometer: { value: 18236, unit: 'mi' }, operations, pages: 1 })
p.page('final bill.pdf', paper('FINAL BILL', 'Bill date', 'Feb 12, 2026', '18,241'), { made: '2026-02-12T10:00:00-06:00', by: 'Quillpost' }, { kind: 'invoice', ...car, jobNumber, claimNumber, date: { local: '2026-02-12' }, odometer: { value: 18241, unit: 'mi' }, operations, pages: 1 })
p.text('packet.yaml', 'packet: 1\nzone: America/Chicago\nintake: 2026-02-09T07:50\nrelease: 2026-02-12\n')
p.end({ note: 'Yaw 1.34 of at most 1.00; the post-scan is of 09:40, the calibration of 13:20.', expected: [{ check: 'values-within-limits', verdict: 'fail', files: ['radar_station.log'], why: '1.34 of at most 1.00' }, { check: 'post-scan-follows-calibration', verdict: 'fail', files: ['scan-2.json', 'radar_station.log'], why: 'scanned at 09:40, calibrated at 13:20' }], allowed: ['sensor-angle-set'] })
