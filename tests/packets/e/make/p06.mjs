/** p06. A rear quarter near a border, miles and kilometres side by side: another sensor serial, a log with gaps, a loss after the job. */
import { clock, drive, escape, measure, packet, vinOf } from './lib.mjs'

const p = packet('p06')
const vin = vinOf('7VRMA6BH_SC391166')
const car = { vin, vehicle: { year: 2025, make: 'Marchetto', model: 'Quarry' } }
const [plate, jobNumber, claimNumber] = ['KDB 914', 'W-2209', 'NB-60-41188']
const whole = drive({ way: [[0, 0], [-300, 0, 9], [-310, -600, 13, 20], [-2500, -700, 20], [-2600, -5200, 25], [-8000, -5400, 28], [-8200, -400, 26], [-3000, -300, 22], [-310, -200, 13, 10], [-300, 0, 10], [0, 0, 7]], at: [44.9711, -75.6402], started: '2026-10-14T17:20:00Z', seed: 606 })
const road = whole.filter(({ t }) => !(t > 420 && t < 570) && !(t > 800 && t < 1040))
const log = measure(road)
const milesOut = 20312 + Math.ceil(measure(whole).distanceMetres / 1609.344)

const modules = ['ENGINE', 'TRANSMISSION', 'ABS', 'STEERING', 'AIRBAG', 'BODY', 'REAR RADAR LEFT', 'REAR RADAR RIGHT', 'FRONT CAMERA', 'CLUSTER', 'TRAILER']
function scan({ file, title, date, local, volts, odometer, found, kind }) {
  const line = (label, value) => label + value.padStart(40 - label.length)
  p.text(file, `${'*'.repeat(40)}
${`     GRISTON POCKET READER`}
${title.padStart(20 + Math.ceil(title.length / 2))}
${'*'.repeat(40)}
${line('VIN:', vin)}
${line('VEHICLE:', '2025 MARCHETTO QUARRY')}
${line('PLATE:', plate)}
${line('WORK ORDER:', jobNumber)}
${line('DATE:', date)}
${line('ODOMETER:', `${odometer} MI`)}
${line('BATTERY:', `${volts.toFixed(1)} V`)}
${line('TECH:', 'Cormac Beale')}
${line('READER S/N:', 'GPR-006612')}
${line('SOFTWARE:', '1.19')}
${'-'.repeat(40)}
${modules.map((name) => { const mine = found.filter((one) => one.module === name); const state = name === 'TRAILER' ? 'NOT FITTED' : mine.length ? 'FAULT' : 'PASS'; return [`${name} ${'.'.repeat(38 - name.length - state.length)} ${state}`, ...mine.map((c) => `  > ${c.code}-${c.failureType} ${c.word}\n    ${c.text}`)].join('\n') }).join('\n')}
${'-'.repeat(40)}
${line('TOTAL CODES:', String(found.length))}
${'*'.repeat(40)}
`, { kind, ...car, plate, jobNumber, date: { local }, odometer: { value: odometer, unit: 'mi' }, batteryVolts: volts, technician: 'Cormac Beale', instrument: { serial: 'GPR-006612', software: '1.19' },
    modules: modules.map((name) => ({ name, state: name === 'TRAILER' ? 'not-fitted' : found.some((one) => one.module === name) ? 'fault' : 'no-fault' })), codes: found.map(({ word, text, ...code }) => code), statedCodeCount: found.length })
}
scan({ file: 'reader 1.txt', title: 'PRE-REPAIR SCAN', date: '13-Oct-2026 08:55', local: '2026-10-13T08:55', volts: 12.7, odometer: 20311, kind: 'pre-scan', found: [{ module: 'REAR RADAR LEFT', code: 'C2A04', failureType: '49', status: 'active', word: 'ACTIVE', text: 'Internal failure' }] })
scan({ file: 'reader 2.txt', title: 'POST-REPAIR SCAN', date: '14-Oct-2026 14:35', local: '2026-10-14T14:35', volts: 13.0, odometer: milesOut, kind: 'post-scan', found: [] })

const sheetCell = (value) => `<table:table-cell office:value-type="string"><text:p>${escape(value)}</text:p></table:table-cell>`
const sheet = (rows, width) => `<?xml version="1.0" encoding="UTF-8"?><office:document xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" office:version="1.3" office:mimetype="application/vnd.oasis.opendocument.spreadsheet"><office:automatic-styles><style:style style:name="w" style:family="table-column"><style:table-column-properties style:column-width="${width}"/></style:style></office:automatic-styles><office:body><office:spreadsheet><table:table table:name="Sheet"><table:table-column table:style-name="w"/><table:table-column table:style-name="w"/><table:table-column/><table:table-column/><table:table-column/>${rows.map((cells) => `<table:table-row>${cells.map(sheetCell).join('')}</table:table-row>`).join('')}</table:table></office:spreadsheet></office:body></office:document>`
p.office('worksheet rear radar.pdf', 'fods', sheet([
  ['Calibration worksheet', 'Rideau Line Body Works'], [''], ['VIN', vin], ['Vehicle', '2025 Marchetto Quarry'], ['Work order', jobNumber], ['Odometer', '32 689 km'], ['Date', '14-Oct-2026'], ['Start', '10:02'], ['End', '10:27'], ['Technician', 'Cormac Beale'], ['Instrument', 'Tansley Corner Rig'], ['Instrument serial', 'TCR-1187'], ['Software', '3.3'], ['Service information', 'Marchetto MQ-880, 2026-01-19'], [''],
  ['Sensor', 'Corner radar, rear left'], ['Method', 'Static'], ['Sensor serial', 'RL-4478-19C'], ['Result', 'Completed'], [''],
  ['Measurement', 'Actual', 'Min', 'Max', 'Unit'], ['Horizontal aim', '0.52', '-2.00', '2.00', 'deg'], ['Vertical aim', '-0.34', '-2.00', '2.00', 'deg'], ['Reflector distance', '98.4', '97.0', '99.0', 'in'],
], '50mm'), { made: '2026-10-14T10:34:00-04:00', by: 'Sheet' },
{ kind: 'calibration', ...car, jobNumber, odometer: { value: 32689, unit: 'km' }, technician: 'Cormac Beale', instrument: { serial: 'TCR-1187', software: '3.3' }, pages: 1,
  calibrations: [{ sensor: 'corner-radar', position: 'rear left', method: 'static', outcome: 'completed', serial: 'RL-4478-19C', started: { local: '2026-10-14T10:02' }, ended: { local: '2026-10-14T10:27' }, values: [{ name: 'Horizontal aim', value: 0.52 }, { name: 'Vertical aim', value: -0.34 }] }] })

const begin = clock(whole[0].time, -4)
const seconds = whole.at(-1).t - 80
const end = clock(new Date(whole[0].time.getTime() + seconds * 1000), -4)
p.page('front camera drive.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:letter;margin:0}body{margin:0;font:10pt 'Liberation Sans'}.side{position:absolute;left:0;top:0;width:62mm;height:279mm;background:#26364a;color:#fff;padding:14mm 7mm;box-sizing:border-box}.side p{margin:0 0 9px}.side small{display:block;color:#aac}.main{margin-left:72mm;padding:14mm 12mm 0 0}table{border-collapse:collapse}td{padding:4px 12px 4px 0;border-bottom:1px solid #ccd}</style>
<div class="side"><h2>Tansley Rover</h2><p><small>VIN</small>${vin}</p><p><small>Work order</small>${jobNumber}</p><p><small>License plate</small>${plate}</p><p><small>Odometer</small>${milesOut} mi</p><p><small>Technician</small>Cormac Beale</p><p><small>Observer</small>Yvaine Stroud</p><p><small>Device serial</small>TR-44021</p><p><small>Firmware</small>2.8.1</p></div>
<div class="main"><h1>Front camera<br>Dynamic calibration</h1><table><tr><td>Status</td><td>Completed</td></tr><tr><td>Progress</td><td>100%</td></tr><tr><td>Started</td><td>Wed 14 Oct 2026, ${begin.time} GMT-4</td></tr><tr><td>Finished</td><td>Wed 14 Oct 2026, ${end.time} GMT-4</td></tr><tr><td>Elapsed</td><td>00:${String(Math.floor(seconds / 60)).padStart(2, '0')}:${String(seconds % 60).padStart(2, '0')}</td></tr><tr><td>Procedure</td><td>Marchetto MQ-874, 19 Jan 2026</td></tr></table></div>`,
{ made: '2026-10-14T13:58:00-04:00', by: 'Tansley Rover' },
{ kind: 'calibration', vin, plate, jobNumber, odometer: { value: milesOut, unit: 'mi' }, technician: 'Cormac Beale', instrument: { serial: 'TR-44021', software: '2.8.1' }, pages: 1,
  calibrations: [{ sensor: 'front-camera', method: 'dynamic', outcome: 'completed', progressPercent: 100, durationSeconds: seconds, started: { local: begin.local, offset: '-04:00' }, ended: { local: end.local, offset: '-04:00' } }] })

p.text('rover_track.jsonl', `${road.map((q) => JSON.stringify({ utc: q.time.toISOString(), latitude: Number(q.lat.toFixed(6)), longitude: Number(q.lon.toFixed(6)), speed_mph: Number((q.v * 2.2369363).toFixed(1)), sats: q.satellites })).join('\n')}\n`, { kind: 'drive-log', drive: log })

const lines = [['Pre-repair scan', 60], ['Left quarter panel, repair and refinish', 1288], ['Rear bumper cover, remove and install', 164], ['Left rear corner radar, replace', 612.75], ['Corner radar static calibration, rear left', 230], ['Windshield, replace', 540], ['Front camera dynamic calibration', 210], ['Post-repair scan', 60]]
const total = lines.reduce((sum, [, amount]) => sum + amount, 0)
const rtfRow = (cells) => `\\trowd\\cellx6800\\cellx9000 ${cells.map((one) => `\\intbl ${one}\\cell`).join(' ')}\\row\n`
p.office('work order W-2209.pdf', 'rtf', `{\\rtf1\\ansi{\\fonttbl{\\f0 Liberation Serif;}}\\f0\\fs22
\\pard{\\b\\fs30 Repair estimate}\\par Rideau Line Body Works\\par\\par Estimate date: 9 October 2026\\line Date of loss: 20 October 2026\\line Claim number: ${claimNumber}\\line Work order: ${jobNumber}\\par\\par Vehicle: 2025 Marchetto Quarry\\line VIN: ${vin}\\line License plate: ${plate}\\line Odometer: 20311 mi\\par\\par
${rtfRow(['{\\b Operation}', '{\\b Price}'])}${lines.map(([text, amount]) => rtfRow([text, `$${amount.toFixed(2)}`])).join('')}${rtfRow(['Total', `$${total.toFixed(2)}`])}\\pard\\par}`,
{ made: '2026-10-09T15:10:00-04:00', by: 'Writer' },
{ kind: 'estimate', ...car, plate, jobNumber, claimNumber, date: { local: '2026-10-09' }, odometer: { value: 20311, unit: 'mi' }, operations: lines.map(([text, amount]) => ({ text, amount })), pages: 1 })
p.page('invoice.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:letter;margin:18mm}body{font:10pt 'Nimbus Roman'}table{width:100%;border-collapse:collapse}td{padding:5px;border:1px solid #444;vertical-align:top}.n{text-align:right;width:24mm}.d{width:40%}</style><h1 style="text-align:right">INVOICE</h1>
<table><tr><td>Invoice date<br><b>15-Oct-2026</b></td><td>Work order<br><b>${jobNumber}</b></td><td>Claim number<br><b>${claimNumber}</b></td></tr><tr><td>VIN<br><b>${vin}</b></td><td>License plate<br><b>${plate}</b></td><td>Odometer<br><b>${milesOut} mi</b></td></tr></table><br><table><tr><td class="d">Description</td><td>Remark</td><td class="n">Amount</td></tr>${lines.map(([text, amount]) => `<tr><td class="d">${escape(text)}</td><td>${text.includes('corner radar, replace') ? 'Sensor serial RL-4487-19C' : text.includes('Windshield') ? 'with camera bracket' : ''}</td><td class="n">$${amount.toFixed(2)}</td></tr>`).join('')}<tr><td class="d">Total</td><td></td><td class="n">$${total.toFixed(2)}</td></tr></table><p>Released 15-Oct-2026 11:20, checked by Yvaine Stroud</p>`,
{ made: '2026-10-15T11:25:00-04:00', by: 'Desk' },
{ kind: 'invoice', vin, plate, jobNumber, claimNumber, date: { local: '2026-10-15' }, odometer: { value: milesOut, unit: 'mi' }, operations: lines.map(([text, amount]) => ({ text, amount })), pages: 1 })
p.end({ note: 'Rear quarter, corner radar and windshield. Serial RL-4478-19C in the record, RL-4487-19C on the invoice; the log leaves out 150 s and 240 s; the loss is dated 20 October, the job 13 to 15 October. Miles and kilometres agree and are no defect.',
  expected: [{ check: 'sensor-serial-agrees', verdict: 'fail', files: ['worksheet rear radar.pdf', 'invoice.pdf'], why: '4478 and 4487' }, { check: 'drive-log-continuous', verdict: 'warn', files: ['rover_track.jsonl'], why: 'two gaps' }, { check: 'job-inside-claim', verdict: 'fail', files: ['work order W-2209.pdf'], why: 'loss of 20 October' }],
  allowed: ['drive-duration-agrees', 'timeline-consistent', 'drive-distance-agrees', 'drive-physically-possible'] })
