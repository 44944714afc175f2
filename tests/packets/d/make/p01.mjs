// Packet 1, clean, with packet.yaml: front collision; steering angle, front camera static, front radar on the road; GPX.
import { writeFileSync } from 'node:fs'
import { barAligner, sessionReport, tabletScan } from './instruments-p01.mjs'
import { asModules, at, code39, codeTruth, driveTruth, later, packet, photo, show, simulate, vin } from './lib.mjs'
import { officePaper } from './office-p01.mjs'

const zone = '-04:00', job = '30618', claim = 'NHM-26-0419853', tech = 'Darla Wexcombe'
const vehicle = { vin: vin('5X8KB4DE', 'PR104872'), year: 2023, make: 'Velmora', model: 'Strider', plate: 'JVT 4471' }
const shop = ['Pinder Lane Collision Center', '1180 Pinder Lane, Chillicothe, OH 45601', '(740) 555-0142']
const p = packet('p01', { note: 'Clean, with packet.yaml. Front collision: alignment, steering angle, front camera static, front radar on the road in one session report; tablet scans in the 12 h clock; office estimate with a supplement.', clean: true, allowed: ['alignment-recorded'] })

const names = ['ECM – Engine Control Module', 'TCM – Transmission Control Module', 'ABS – Anti-lock Brake System', 'EPS – Electric Power Steering', 'SRS – Supplemental Restraint System', 'OCS – Occupant Classification System', 'BCM – Body Control Module', 'IPC – Instrument Panel Cluster', 'FCM – Front Camera Module', 'FRM – Front Radar Module', 'RCRL – Rear Corner Radar Left', 'RCRR – Rear Corner Radar Right', 'PAM – Parking Assist Module', 'RVC – Rear View Camera', 'HVAC – Climate Control Module', 'TPMS – Tire Pressure Monitor', 'DDM – Driver Door Module', 'PDM – Passenger Door Module', 'HCM – Headlamp Control Module', 'TRM – Trailer Module', 'GWM – Gateway Module', 'TCU – Telematics Unit', 'AFM – Audio Front Module']
const before = [
  { module: 'FRM – Front Radar Module', code: 'C1A67-78', text: 'Front radar sensor, alignment or adjustment incorrect', word: 'Active', state: 'active', frame: 'Odometer 28,411 mi   Speed 31 mph   Supply 13.9 V   Ignition cycles since 6' },
  { module: 'FRM – Front Radar Module', code: 'U1130-87', text: 'Lost communication with grille shutter actuator, missing message', word: 'Stored', state: 'stored' },
  { module: 'FCM – Front Camera Module', code: 'B1B0C-92', text: 'Camera fusion performance degraded because the radar object list is not plausible or not available', word: 'Active', state: 'active', frame: 'Odometer 28,411 mi   Speed 31 mph   Supply 13.9 V   Ignition cycles since 6' },
  { module: 'PAM – Parking Assist Module', code: 'B1C42-13', text: 'Front inner left ultrasonic sensor, circuit open', word: 'Active', state: 'active' },
]
const scan = async (name, type, local, odo, codes, volts, report) => {
  const modules = names.map((n) => [n, n.startsWith('TRM') ? 'not-fitted' : codes.some((c) => c.module === n) ? 'fault' : 'no-fault'])
  tabletScan(p.file(name), { type, local, offset: zone, vehicle, odo, job, claim, tech, serial: 'OX9-2207141', software: '9.14.02', volts, report, shop, modules, codes })
  p.add(name, { kind: type === 'Pre-Scan' ? 'pre-scan' : 'post-scan', vin: vehicle.vin, date: at(local), odometer: { value: odo, unit: 'mi' }, vehicle: { year: 2023, make: 'Velmora', model: 'Strider' }, plate: vehicle.plate, jobNumber: job, claimNumber: claim, batteryVolts: Number(volts), technician: tech, instrument: { name: 'Orvex Pad 9', serial: 'OX9-2207141', software: '9.14.02' }, modules: asModules(modules), codes: codes.map(codeTruth), statedCodeCount: codes.length })
}
await scan('Diagnostic report PRE 30618.pdf', 'Pre-Scan', '2026-09-28T09:14', 28417, before, '12.9', '260928-0011')
await scan('Diagnostic report POST 30618.pdf', 'Post-Scan', '2026-10-02T14:18', 28429, [], '13.2', '261002-0037')

const axles = [
  ['Front', [['Camber left', -1.1, -0.35, 0.4, -0.92, -0.41], ['Camber right', -1.1, -0.35, 0.4, -0.28, -0.33], ['Caster left', 4.2, 4.95, 5.7, 4.71, 4.78], ['Caster right', 4.2, 4.95, 5.7, 5.02, 5.01], ['Toe left', -0.05, 0.05, 0.15, 0.31, 0.06], ['Toe right', -0.05, 0.05, 0.15, -0.11, 0.05], ['Total toe', -0.1, 0.1, 0.3, 0.2, 0.11]]],
  ['Rear', [['Camber left', -1.6, -1.1, -0.6, -1.08, -1.08], ['Camber right', -1.6, -1.1, -0.6, -1.21, -1.21], ['Toe left', 0, 0.1, 0.2, 0.12, 0.12], ['Toe right', 0, 0.1, 0.2, 0.09, 0.09], ['Thrust angle', -0.15, 0, 0.15, 0.02, 0.02]]],
]
const aligned = '2026-10-02T08:35'
await barAligner(p.file('align_30618.pdf'), { local: aligned, offset: zone, shop: shop[0], axles, head: [['Date', show(aligned, 'MM/dd/yyyy h:mm a')], ['Work order', job], ['Vehicle', '2023 Velmora Strider'], ['License', vehicle.plate], ['VIN', vehicle.vin], ['Odometer', '28,418 mi'], ['Technician', 'Rob Tanfield'], ['Aligner', 'Castrow V6, S/N CV6-00931'], ['Software', '6.20.1'], ['Target set', 'TS-4 checked 08/2026']], foot: 'Tires 35 psi all around. Steering wheel centered. All angles in range after adjustment.' })
p.add('align_30618.pdf', { kind: 'alignment', vin: vehicle.vin, date: at(aligned), odometer: { value: 28418, unit: 'mi' }, vehicle: { year: 2023, make: 'Velmora', model: 'Strider' }, plate: vehicle.plate, jobNumber: job, technician: 'Rob Tanfield', instrument: { name: 'Castrow V6', serial: 'CV6-00931', software: '6.20.1' }, alignment: { values: axles.flatMap(([a, rows]) => rows.map(([n, least, , most, , after]) => ({ name: `${a} ${n}`, value: after, unit: 'deg', least, most, stated: 'ok' }))) } })

const drive = simulate(3101, [[9, 0], [22, 35], [6, 0], [40, 55], [70, 76], [210, 80], [180, 84], [90, 78], [25, 55], [14, 30], [8, 0]], [39.3391, -82.9968], 118)
const roadStart = '2026-10-02T11:20:05', roadEnd = '2026-10-02T11:33:02', gpxStart = '2026-10-02T11:20:48'
const cals = [
  { sensor: 'steering-angle', method: 'initialisation', title: 'Steering angle sensor – Zero point reset', started: '2026-10-02T10:02:18', ended: '2026-10-02T10:04:41', extra: [['Procedure', 'VSI 36-110, 2026-05-14']], procedure: 'VSI 36-110', columns: ['Parameter', 'Measured', 'Permitted'], rows: [['Steering angle after reset', '0.3°', 'below 2.0°']], values: [{ name: 'Steering angle after reset', value: 0.3, unit: 'deg', most: 2, stated: null }] },
  { sensor: 'front-camera', method: 'static', title: 'Front camera – Static calibration', started: '2026-10-02T10:22:30', ended: '2026-10-02T10:41:07', extra: [['Procedure', 'VSI 36-204, 2026-05-14'], ['Part no.', 'VM-88410-C'], ['Serial no.', 'FC23-507713']], procedure: 'VSI 36-204', part: 'VM-88410-C', serial: 'FC23-507713', columns: ['Parameter', 'Measured', 'Nominal', 'Tolerance'], rows: [['Pitch', '0.21°', '0.00°', '± 1.50°'], ['Yaw', '-0.34°', '0.00°', '± 1.50°'], ['Roll', '0.12°', '0.00°', '± 1.00°'], ['Target distance', '1502 mm', '1500 mm', '± 10 mm'], ['Target height', '1048 mm', '1050 mm', '± 10 mm']], values: [{ name: 'Pitch', value: 0.21, unit: 'deg', least: -1.5, most: 1.5, stated: null }, { name: 'Yaw', value: -0.34, unit: 'deg', least: -1.5, most: 1.5, stated: null }, { name: 'Roll', value: 0.12, unit: 'deg', least: -1, most: 1, stated: null }, { name: 'Target distance', value: 1502, unit: 'mm', least: 1490, most: 1510, stated: null }, { name: 'Target height', value: 1048, unit: 'mm', least: 1040, most: 1060, stated: null }] },
  { sensor: 'front-radar', method: 'dynamic', title: 'Front radar – Dynamic calibration (road drive)', started: roadStart, ended: roadEnd, extra: [['Procedure', 'VSI 36-231, 2026-06-02'], ['Part no.', 'VM-90122-A'], ['Serial no.', 'FR23-118406'], ['Driver', 'Rob Tanfield'], ['Tool watched by', tech]], procedure: 'VSI 36-231', part: 'VM-90122-A', serial: 'FR23-118406', columns: ['Parameter', 'Lower', 'Measured', 'Upper'], rows: [['Horizontal angle', '-3.0°', '0.4°', '3.0°'], ['Vertical angle', '-2.0°', '-0.6°', '2.0°']], values: [{ name: 'Horizontal angle', value: 0.4, unit: 'deg', least: -3, most: 3, stated: null }, { name: 'Vertical angle', value: -0.6, unit: 'deg', least: -2, most: 2, stated: null }] },
].map((c) => ({ ...c, result: 'PASS', words: 'Completed', progress: 100, attempts: '1 of 1' }))
const printed = '2026-10-02T11:41'
sessionReport(p.file('ADAS session 5520.pdf'), { local: printed, offset: zone, session: '5520', tech, cals, head: [[['VIN', vehicle.vin], ['Vehicle', '2023 Velmora Strider'], ['Plate', vehicle.plate], ['Odometer', '28,428 mi']], [['RO / claim', `${job} / ${claim}`], ['Tool', 'Ivarro Assist Link'], ['Tool S/N', 'IAL-70266'], ['Software / data', '4.8.0 / 2026.36']], [['Battery support', 'On, 13.6 V'], ['Tire pressure', '35 psi (placard 35 psi)'], ['Fuel / load', 'Full / vehicle empty'], ['Floor', 'Level within 4 mm']]], foot: 'Calibration per vehicle maker service information as listed. Road drive: dry, clear, lane markings on both sides.' })
p.add('ADAS session 5520.pdf', { kind: 'calibration', vin: vehicle.vin, date: at(printed), odometer: { value: 28428, unit: 'mi' }, vehicle: { year: 2023, make: 'Velmora', model: 'Strider' }, plate: vehicle.plate, jobNumber: job, claimNumber: claim, batteryVolts: 13.6, technician: tech, instrument: { name: 'Ivarro Assist Link', serial: 'IAL-70266', software: '4.8.0' }, calibrations: cals.map((c) => ({ sensor: c.sensor, position: null, method: c.method, outcome: 'completed', progressPercent: 100, started: at(c.started), ended: at(c.ended), ...(c.serial ? { serial: c.serial, part: c.part } : {}), procedure: c.procedure, values: c.values })) })

const utc = (t) => `${later('2026-10-02T15:20:48', t)}Z`
writeFileSync(p.file('Strider radar road.gpx'), `<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="1.1" creator="Waylark Recorder 3.2" xmlns="http://www.topografix.com/GPX/1/1">\n <metadata><time>${utc(0)}</time></metadata>\n <trk><name>Strider ${vehicle.vin}</name><trkseg>\n${drive.map((q) => `  <trkpt lat="${q.lat.toFixed(6)}" lon="${q.lon.toFixed(6)}"><ele>${(192 + 9 * Math.sin(q.metres / 2100) + 0.3 * q.n).toFixed(1)}</ele><time>${utc(q.t)}</time><sat>${9 + Math.floor(q.x * 4)}</sat><hdop>${(0.8 + 0.3 * q.x).toFixed(1)}</hdop></trkpt>`).join('\n')}\n </trkseg></trk>\n</gpx>\n`)
p.add('Strider radar road.gpx', { kind: 'drive-log', vin: vehicle.vin, drive: driveTruth(drive) })

const L = (text, hours, rate, kind, calls = []) => ({ text, hours, rate, amount: Math.round(hours * rate * 100) / 100, kind, calls })
const F = (text, amount, kind, calls = []) => ({ text, amount, kind, calls })
const P = (text, number, qty, amount) => ({ text, number, qty, amount, kind: 'other', calls: [] })
const labour = [L('Front bumper cover, remove and replace', 2.6, 62, 'repair', ['front-radar', 'ultrasonic']), L('Refinish front bumper cover', 3.1, 62, 'repair'), L('Radiator grille, remove and replace', 0.8, 62, 'repair', ['front-radar']), L('Front radar bracket, remove and replace', 0.6, 62, 'repair', ['front-radar']), F('Pre-repair diagnostic scan', 85, 'scan'), F('Post-repair diagnostic scan', 85, 'scan'), F('Front radar calibration, dynamic', 295, 'calibration', ['front-radar'])]
const parts = [P('Front bumper cover, primed', 'VM-61100-P', 1, 538.2), P('Radiator grille assembly', 'VM-61340-K', 1, 287.55), P('Front radar bracket', 'VM-90120-B', 1, 64.1), P('Parking sensor, front inner left', 'VM-77031-D', 1, 118.9), P('Bumper retainer clip kit', 'VM-61188', 2, 23.6)]
const labour2 = [L('Left front lower control arm, remove and replace', 1.4, 62, 'repair', ['steering-angle']), F('Four-wheel alignment', 129.95, 'alignment', ['steering-angle', 'front-camera', 'front-radar']), F('Steering angle sensor reset', 45, 'calibration', ['steering-angle']), F('Front camera calibration, static (after alignment)', 315, 'calibration', ['front-camera'])]
const parts2 = [P('Lower control arm, left front', 'VM-34510-L', 1, 201.75)]
const sum = (...lists) => Math.round(lists.flat().reduce((s, o) => s + o.amount, 0) * 100) / 100
const totals = (l, q, label) => { const s = sum(l, q), tax = Math.round(sum(q) * 7.25) / 100; return [['Labor', sum(l)], ['Parts', sum(q)], ['Sales tax', tax], [label, Math.round((s + tax) * 100) / 100, true]] }
const paper = { shop, job, claim, vehicle, color: 'slate gray', odo: 28417, customer: ['Imre Castell', '27 Walnut Run Rd, Bainbridge, OH 45612'], insurer: 'Northmoor Heritage Mutual', offset: zone }
const operations = (lists, billed) => lists.flat().map((o) => ({ text: o.text, calls: o.calls, billed, amount: o.amount, kind: o.kind }))
const facts = { vin: vehicle.vin, odometer: { value: 28417, unit: 'mi' }, vehicle: { year: 2023, make: 'Velmora', model: 'Strider' }, plate: vehicle.plate, jobNumber: job, claimNumber: claim }
officePaper(p.file('Estimate 30618 S1.pdf'), { ...paper, title: 'ESTIMATE', number: 'E-30618-S1', date: show('2026-09-30', 'MMM d, yyyy'), writer: 'Written by: Paula Quist', local: '2026-09-30T16:05', sections: [{ title: 'Original estimate', labour, parts, totals: totals(labour, parts, 'Estimate') }, { title: 'Supplement 1 – added after teardown', labour: labour2, parts: parts2, totals: totals(labour2, parts2, 'Supplement') }], foot: 'This estimate is based on our inspection and does not cover hidden damage found after the work has started.' })
p.add('Estimate 30618 S1.pdf', { kind: 'estimate', date: at('2026-09-30'), ...facts, operations: operations([labour, parts, labour2, parts2], false) })
officePaper(p.file('Invoice 30618.pdf'), { ...paper, title: 'INVOICE', number: '30618-1', date: show('2026-10-03', 'MMM d, yyyy'), writer: 'Released by: Paula Quist', local: '2026-10-03T10:20', sections: [{ title: 'Work performed', labour: [...labour, ...labour2], parts: [...parts, ...parts2], totals: totals([...labour, ...labour2], [...parts, ...parts2], 'Total due') }], foot: 'Thank you. All parts new unless stated. Mileage at delivery 28,429.' })
p.add('Invoice 30618.pdf', { kind: 'invoice', date: at('2026-10-03'), ...facts, operations: operations([labour, labour2, parts, parts2], true) })

const bars = code39(vehicle.vin, 70, 420, 3.1, 190)
photo(p.file('IMG_3307.jpg'), `<svg width="1280" height="960"><rect width="1280" height="960" fill="#6b7177"/><g transform="rotate(-0.8 640 480)"><rect x="30" y="120" width="1220" height="640" rx="14" fill="#f4f3ee"/><text x="70" y="210" font-family="Liberation Sans" font-size="46" font-weight="bold">VELMORA MOTOR WORKS</text><text x="70" y="280" font-family="Liberation Sans" font-size="32">MFD 04/23   GVWR 4850 LB   GAWR FRT 2530 LB  RR 2490 LB</text><text x="70" y="370" font-family="Liberation Mono" font-size="50" font-weight="bold">VIN: ${vehicle.vin}</text>${bars.svg}<text x="70" y="690" font-family="Liberation Sans" font-size="30">TYPE: MPV    COLOR: SG4    TRIM: 22</text></g></svg>`, { local: '2026-09-28T08:52:31', offset: zone, place: [39.3392, -82.9969], make: 'Tessel', model: 'T7' })
p.add('IMG_3307.jpg', { kind: 'photo', vin: vehicle.vin, photo: { taken: at('2026-09-28T08:52:31', zone), barcodes: [{ symbology: 'code39', text: vehicle.vin }] } })
photo(p.file('IMG_3341.jpg'), `<svg width="1280" height="960"><defs><linearGradient id="w" x2="0" y2="1"><stop offset="0" stop-color="#c9ccce"/><stop offset="1" stop-color="#9fa3a6"/></linearGradient></defs><rect width="1280" height="640" fill="url(#w)"/><rect y="640" width="1280" height="320" fill="#7d7f7c"/><path d="M640 640V960" stroke="#c9b13a" stroke-width="6"/><rect x="420" y="150" width="440" height="330" fill="#fff" stroke="#333" stroke-width="6"/>${[0, 1, 2, 3].map((i) => [0, 1, 2].map((j) => ((i + j) % 2 ? '' : `<rect x="${440 + i * 100}" y="${170 + j * 97}" width="100" height="97" fill="#151515"/>`)).join('')).join('')}<rect x="628" y="480" width="24" height="240" fill="#45494d"/><rect x="520" y="715" width="240" height="22" fill="#33373b"/><path d="M0 960V860Q320 790 640 790T1280 860V960Z" fill="#4a525b"/></svg>`, { local: '2026-10-02T10:28:12', offset: zone, place: [39.3392, -82.9968], make: 'Tessel', model: 'T7' })
p.add('IMG_3341.jpg', { kind: 'photo', photo: { taken: at('2026-10-02T10:28:12', zone), barcodes: [] } })

writeFileSync(p.file('packet.yaml'), `packet: 1
zone: America/New_York
job: "${job}"
claim: ${claim}
vehicle: { vin: ${vehicle.vin}, plate: ${vehicle.plate} }
loss: 2026-09-21
intake: 2026-09-28T08:40
release: 2026-10-03
repairs:
  - { what: "Front bumper cover, grille and radar bracket replaced", ended: 2026-10-01T15:30 }
  - { what: "Left front lower control arm replaced", ended: 2026-10-01T16:45 }
calibrations:
  - { sensor: steering-angle, method: initialisation }
  - { sensor: front-camera, method: static }
  - { sensor: front-radar, method: dynamic }
notNeeded:
  - { sensor: ultrasonic, because: "front sensor replaced, no calibration in the service information VSI 36-300; function checked" }
people:
  - { name: ${tech}, role: technician }
  - { name: Paula Quist, role: reviewer }
shop: { name: ${shop[0]}, location: [39.3392, -82.9968] }
`)
p.end()
