/** p04. A front bumper in the north-west: 93 % called complete, an odometer that ran back, corner radars charged and not recorded. */
import { clock, drive, escape, measure, packet, vinOf } from './lib.mjs'

const p = packet('p04')
const vin = vinOf('7ZHTR9ED_TM014492')
const car = { vin, vehicle: { year: 2026, make: 'Hadwick', model: 'Torrent' } }
const [plate, jobNumber, claimNumber] = ['BXR 7093', '88-41207', 'CF/26/119054']
const road = drive({ way: [[0, 0], [0, 260, 10], [900, 280, 14, 14], [950, 3000, 22], [5200, 3300, 29], [5400, 8600, 30], [900, 8300, 27], [820, 900, 24], [500, 275, 13, 9], [0, 260, 11], [0, 0, 7]], at: [44.0631, -121.3088], started: '2026-07-24T17:31:40Z', seed: 4004 })
const log = measure(road)
const milesOut = 31872 + Math.ceil(log.distanceMetres / 1609.344)

const units = ['Engine', 'Transmission', 'Anti-lock brakes', 'Electric steering', 'Airbags', 'Body computer', 'Front radar', 'Front camera', 'Rear corner radar left', 'Rear corner radar right', 'Cluster', 'Climate']
function scan({ file, title, at, local, volts, odometer, found, kind }) {
  p.text(file, `<?xml version="1.0" encoding="UTF-8"?>
<HealthCheck>
  <Header>
    <RunType>${title}</RunType>
    <TakenAt>${at}</TakenAt>
    <ShopOrder>${jobNumber}</ShopOrder>
    <Operator>Ambrose Tilley</Operator>
  </Header>
  <Car vin="${vin}" plate="${plate}">
    <Year>2026</Year><Make>Hadwick</Make><Model>Torrent</Model>
    <Odometer unit="mi">${odometer}</Odometer>
    <BatteryVoltage unit="V">${volts}</BatteryVoltage>
  </Car>
  <Tool name="Kestrup Relay" serial="KR-9930471" softwareVersion="7.7.3"/>
  <Modules scanned="${units.length}" totalCodes="${found.length}">
${units.map((name) => {
  const mine = found.filter((one) => one.module === name)
  if (!mine.length) return `    <Module name="${name}" status="OK"/>`
  return `    <Module name="${name}" status="Fault">\n${mine.map((c) => `      <Code id="${c.code}-${c.failureType}" status="${c.word}">${escape(c.text)}</Code>`).join('\n')}\n    </Module>`
}).join('\n')}
  </Modules>
</HealthCheck>
`, { kind, ...car, plate, jobNumber, date: { local, offset: '-07:00' }, odometer: { value: odometer, unit: 'mi' }, batteryVolts: volts, technician: 'Ambrose Tilley', instrument: { serial: 'KR-9930471', software: '7.7.3' },
    modules: units.map((name) => ({ name, state: found.some((one) => one.module === name) ? 'fault' : 'no-fault' })), codes: found.map(({ word, text, ...code }) => code), statedCodeCount: found.length })
}
scan({ file: 'arrival.xml', title: 'Pre-repair scan', at: '2026-07-22 08:14:33 -0700', local: '2026-07-22T08:14:33', volts: 12.8, odometer: 31872, kind: 'pre-scan', found: [{ module: 'Front radar', code: 'C1A11', failureType: '76', status: 'active', word: 'Active', text: 'Mounting angle out of range' }, { module: 'Electric steering', code: 'C0460', failureType: '54', status: 'stored', word: 'Stored', text: 'Steering angle, calibration missing' }] })
scan({ file: 'departure.xml', title: 'Post-repair scan', at: '2026-07-24 11:38:10 -0700', local: '2026-07-24T11:38:10', volts: 13.1, odometer: 31809, kind: 'post-scan', found: [] })

const begin = clock(road[0].time, -7)
const seconds = log.durationSeconds - 60
const end = clock(new Date(road[0].time.getTime() + seconds * 1000), -7)
const leaders = [['Vehicle', '2026 Hadwick Torrent'], ['VIN', vin], ['License plate', plate], ['Repair order', jobNumber], ['Odometer', `${milesOut} mi`], ['Sensor', 'Front radar'], ['Method', 'Dynamic'], ['Service procedure', 'Hadwick R-2207, dated 14 May 2026'], ['Start', `24 July 2026 ${begin.time} (UTC-07:00)`], ['End', `24 July 2026 ${end.time} (UTC-07:00)`], ['Duration', `${Math.floor(seconds / 60)} min ${seconds % 60} s`], ['Progress', '93 %'], ['Result', 'Completed'], ['Radar serial number', 'HW-RDF-118830'], ['Horizontal offset', '0.19 deg (-0.80 to 0.80)'], ['Vertical offset', '-0.35 deg (-1.20 to 1.20)'], ['Technician', 'Ambrose Tilley'], ['Observer in passenger seat', 'Perla Dunmore'], ['Instrument', 'Kestrup Relay'], ['Instrument serial number', 'KR-9930471'], ['Software version', '7.7.3']]
p.page('radar drive record.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:letter;margin:20mm}body{font:11pt 'C059'}h1{font-size:17pt;font-weight:normal;border-bottom:1px solid}.r{display:flex;margin:4px 0}.r i{flex:1;overflow:hidden;white-space:nowrap;color:#888;font-style:normal;margin:0 4px}</style><h1>Calibration report</h1>${leaders.map(([label, value]) => `<div class="r"><span>${label}</span><i>${' .'.repeat(60)}</i><span>${value}</span></div>`).join('')}`.replaceAll(' .'.repeat(60), '.'.repeat(12)),
{ made: '2026-07-24T11:12:00-07:00', by: 'Kestrup Relay 7.7.3' },
{ kind: 'calibration', ...car, plate, jobNumber, odometer: { value: milesOut, unit: 'mi' }, technician: 'Ambrose Tilley', instrument: { serial: 'KR-9930471', software: '7.7.3' }, pages: 1,
  calibrations: [{ sensor: 'front-radar', method: 'dynamic', outcome: 'completed', progressPercent: 93, serial: 'HW-RDF-118830', durationSeconds: seconds, started: { local: begin.local, offset: '-07:00' }, ended: { local: end.local, offset: '-07:00' }, values: [{ name: 'Horizontal offset', value: 0.19 }, { name: 'Vertical offset', value: -0.35 }] }] })

p.text('steering zero.txt', `        KESTRUP RELAY
     S/N KR-9930471  V7.7.3
--------------------------------
STEERING ANGLE SENSOR
ZERO POINT CALIBRATION
--------------------------------
VIN   ${vin}
RO    ${jobNumber}
DATE  07/24/2026
START 09:46 AM
END   09:49 AM
ODO   31872 mi
TECH  Ambrose Tilley
PROC  Hadwick S-0310 14 May 2026
--------------------------------
Angle before      3.8 deg
Angle after       0.2 deg
  limits   -1.5 ... 1.5 deg
RESULT        COMPLETED
--------------------------------
`, { kind: 'calibration', vin, jobNumber, odometer: { value: 31872, unit: 'mi' }, technician: 'Ambrose Tilley', instrument: { serial: 'KR-9930471', software: '7.7.3' },
  calibrations: [{ sensor: 'steering-angle', outcome: 'completed', started: { local: '2026-07-24T09:46' }, ended: { local: '2026-07-24T09:49' }, values: [{ name: 'Angle after', value: 0.2 }] }] })

p.text('track_2026-07-24.gpx', `<?xml version="1.0"?>
<gpx version="1.1" creator="Oakmere Dash" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>
${road.map((q) => { const c = clock(q.time, -7); return `<trkpt lat="${q.lat.toFixed(6)}" lon="${q.lon.toFixed(6)}"><ele>${(q.height + 900).toFixed(1)}</ele><time>${c.local}${c.offset}</time></trkpt>` }).join('\n')}
</trkseg></trk></gpx>
`, { kind: 'drive-log', drive: log })

const estimated = [['Pre-repair scan', 72.5], ['Front bumper cover, R&R and refinish', 918.35], ['Front radar bracket, replace', 146], ['Front radar calibration, dynamic', 325], ['Steering angle sensor zero point', 60], ['Post-repair scan', 72.5]]
const billed = [...estimated.slice(0, 4), ['Rear corner radar calibration, left and right', 390], ...estimated.slice(4)]
const sum = (lines) => lines.reduce((total, [, amount]) => total + amount, 0).toFixed(2)
p.page('estimate 88-41207.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:letter landscape;margin:14mm}body{font:9.5pt 'Liberation Sans Narrow'}table{border-collapse:collapse;width:100%}th{background:#222;color:#fff;text-align:left}td,th{padding:4px 6px}tr:nth-child(odd) td{background:#eee}.n{text-align:right}</style>
<table><tr><td><b>ESTIMATE</b></td><td>Date 07/20/2026</td><td>Loss date 07/16/2026</td><td>Claim ${claimNumber}</td><td>RO ${jobNumber}</td></tr><tr><td>2026 Hadwick Torrent</td><td colspan="2">VIN ${vin}</td><td>Plate ${plate}</td><td>Pinyon Gap Auto Body</td></tr></table><br>
<table><tr><th>#</th><th>Operation</th><th class="n">Labor hours</th><th class="n">Labor</th><th class="n">Parts</th><th class="n">Line total</th></tr>${estimated.map(([text, amount], at) => `<tr><td>${at + 1}</td><td>${escape(text)}</td><td class="n">${(0.5 + at * 0.3).toFixed(1)}</td><td class="n">${(at === 1 ? 418.35 : at === 2 ? 40 : amount).toFixed(2)}</td><td class="n">${at === 1 ? '500.00' : at === 2 ? '106.00' : ''}</td><td class="n">${amount.toFixed(2)}</td></tr>`).join('')}<tr><td></td><td><b>Estimate total</b></td><td></td><td></td><td></td><td class="n"><b>${sum(estimated)}</b></td></tr></table>`,
{ made: '2026-07-20T15:00:00-07:00', by: 'Desk' },
{ kind: 'estimate', ...car, plate, jobNumber, claimNumber, date: { local: '2026-07-20' }, operations: estimated.map(([text, amount]) => ({ text, amount })), pages: 1 })
const cell = (value, type = 'string') => type === 'float' ? `<table:table-cell office:value-type="float" office:value="${value}" table:style-name="m"><text:p>${value}</text:p></table:table-cell>` : `<table:table-cell office:value-type="string"><text:p>${escape(value)}</text:p></table:table-cell>`
const sheetRow = (cells) => `<table:table-row>${cells.join('')}</table:table-row>`
p.office('invoice 88-41207.pdf', 'fods', `<?xml version="1.0" encoding="UTF-8"?><office:document xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0" xmlns:number="urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" office:version="1.3" office:mimetype="application/vnd.oasis.opendocument.spreadsheet"><office:automatic-styles><number:number-style style:name="n"><number:number number:decimal-places="2" number:min-decimal-places="2" number:min-integer-digits="1"/></number:number-style><style:style style:name="m" style:family="table-cell" style:data-style-name="n"/><style:style style:name="w" style:family="table-column"><style:table-column-properties style:column-width="85mm"/></style:style></office:automatic-styles><office:body><office:spreadsheet><table:table table:name="Invoice"><table:table-column/><table:table-column table:style-name="w"/><table:table-column/><table:table-column/>
${[['Invoice', 'Pinyon Gap Auto Body'], ['Date', '07/24/2026'], ['RO', jobNumber], ['Claim', claimNumber], ['VIN', vin], ['Plate', plate], ['Vehicle', '2026 Hadwick Torrent']].map((cells) => sheetRow(cells.map((one) => cell(one)))).join('')}
${sheetRow([cell('')])}${sheetRow(['Line', 'Description', 'Qty', 'Amount'].map((one) => cell(one)))}
${billed.map(([text, amount], at) => sheetRow([cell(String(at + 1)), cell(text), cell('1'), cell(amount, 'float')])).join('')}
${sheetRow([cell(''), cell('Total due'), cell(''), cell(sum(billed), 'float')])}</table:table></office:spreadsheet></office:body></office:document>`,
{ made: '2026-07-24T16:02:00-07:00', by: 'Sheet' },
{ kind: 'invoice', ...car, plate, jobNumber, claimNumber, date: { local: '2026-07-24' }, operations: billed.map(([text, amount]) => ({ text, amount })), pages: 1 })
p.end({ note: 'Front bumper. The radar record says completed at 93 %, the post-scan shows 31809 mi after 31872, and the invoice charges rear corner radars that nothing records.',
  expected: [{ check: 'calibration-reached-full', verdict: 'fail', files: ['radar drive record.pdf'], why: '93 %' }, { check: 'odometer-runs-forward', verdict: 'fail', files: ['departure.xml'], why: '31809 after 31872' }, { check: 'billed-is-evidenced', verdict: 'fail', files: ['invoice 88-41207.pdf'], why: 'rear corner radars' }],
  allowed: ['progress-consistent', 'calibration-completed', 'calibration-recorded', 'repair-calls-for', 'odometer-matches-drive', 'calibrated-sensor-is-the-one', 'values-within-limits'] })
