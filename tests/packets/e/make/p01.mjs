/** p01, clean. A windshield in the Midwest: front camera calibrated on the stand, then on the road. */
import { clock, drive, escape, measure, packet, vinOf } from './lib.mjs'

const p = packet('p01')
const vin = vinOf('7XCVB4AJ_SB203417')
const car = { vin, vehicle: { year: 2025, make: 'Calder', model: 'Vantry' } }
const job = { jobNumber: 'TB-3391', claimNumber: 'PLN-0098812-04' }
const plate = 'HWK 5521'

const road = drive({
  way: [[0, 0], [300, 0, 11], [300, 900, 13, 22], [2500, 900, 18], [2500, 5000, 27], [9000, 5200, 29], [9000, 900, 28], [3500, 700, 25], [300, 700, 13, 15], [300, 0, 11], [0, 0, 8]],
  at: [39.9012, -95.2048], started: '2026-09-10T14:40:12Z', seed: 71,
})
const log = measure(road)
const odometerOut = 22419 + Math.ceil(log.distanceMetres / 1609.344)

const modules = ['Engine control', 'Transmission control', 'Brake control', 'Power steering', 'Airbag control', 'Body control', 'Gateway', 'Instrument panel', 'Forward camera', 'Forward radar', 'Park assist', 'Liftgate control', 'Seat memory', 'Radio']
const absent = 'Night vision'

function scan({ file, title, number, day, time, local, volts, odometer, found, kind, made }) {
  const cards = modules.map((name) => {
    const codes = found.filter((one) => one.module === name)
    const pill = codes.length ? `<span class="pill bad">${codes.length} fault</span>` : '<span class="pill ok">OK</span>'
    return `<div class="card"><div class="head"><b>${name}</b>${pill}</div>${codes.map((c) => `<div class="dtc"><b>${c.code}-${c.failureType}</b> <i>${c.word}</i><br>${escape(c.text)}</div>`).join('')}</div>`
  })
  cards.push(`<div class="card grey"><div class="head"><b>${absent}</b><span class="pill none">Not equipped</span></div></div>`)
  p.page(file, `<!doctype html><meta charset="utf-8"><style>
@page{size:letter;margin:14mm} body{font:9.5pt 'Liberation Sans';color:#223} h1{font-size:19pt;margin:0;color:#7a2e52}
.top{display:flex;justify-content:space-between;border-bottom:3px solid #7a2e52;padding-bottom:6px}
.tiles{display:flex;gap:6px;margin:9px 0;flex-wrap:wrap}.tile{flex:1 0 21%;background:#f3ecf0;border-radius:6px;padding:5px 8px}.tile small{display:block;color:#775;text-transform:uppercase;font-size:6.8pt}
.cards{display:flex;flex-wrap:wrap;gap:7px}.card{width:30.6%;border:1px solid #bbb;border-radius:7px;padding:6px 8px;break-inside:avoid}.head{display:flex;justify-content:space-between}
.pill{border-radius:9px;padding:1px 8px;font-size:8pt;color:#fff}.ok{background:#3b7d4a}.bad{background:#b3261e}.none{background:#999}.dtc{margin-top:5px;font-size:8.4pt}</style>
<div class="top"><h1>${title}</h1><div style="text-align:right">Tolliver Bend Collision<br>Scan ID ${number}</div></div>
<div class="tiles"><div class="tile"><small>Vehicle</small>2025 Calder Vantry</div><div class="tile"><small>VIN</small>${vin}</div><div class="tile"><small>Plate</small>${plate}</div><div class="tile"><small>RO</small>${job.jobNumber}</div>
<div class="tile"><small>Scanned</small>${day} &middot; ${time}</div><div class="tile"><small>Mileage</small>${odometer.toLocaleString('en-US')} mi</div><div class="tile"><small>Battery</small>${volts.toFixed(1)} V, charger connected</div><div class="tile"><small>Technician</small>Junia Marsh</div></div>
<p><b>${found.length}</b> fault codes in total, <b>${modules.length}</b> modules answered, 1 not equipped</p>
<div class="cards">${cards.join('')}</div>
<p style="margin-top:14px;font-size:7.6pt;color:#666">Halyard Prism scan tool &bull; Tool serial HP-77-01934 &bull; Software 12.4.1 &bull; Page 1 of 1</p>`,
  { made, by: 'Halyard Prism 12.4.1' },
  { kind, ...car, plate, jobNumber: job.jobNumber, date: { local, offset: null }, odometer: { value: odometer, unit: 'mi' }, batteryVolts: volts, technician: 'Junia Marsh', instrument: { name: 'Halyard Prism', serial: 'HP-77-01934', software: '12.4.1' },
    modules: [...modules.map((name) => ({ name, state: found.some((one) => one.module === name) ? 'fault' : 'no-fault' })), { name: absent, state: 'not-fitted' }],
    codes: found.map(({ word, text, ...code }) => code), statedCodeCount: found.length, pages: 1 })
}

scan({ file: 'TB-3391 scan in.pdf', title: 'Pre-Repair Scan', number: '55031', day: 'Sep 8, 2026', time: '8:12 AM', local: '2026-09-08T08:12', volts: 12.9, odometer: 22418, kind: 'pre-scan', made: '2026-09-08T08:14:20-05:00',
  found: [{ module: 'Forward camera', code: 'C1F08', failureType: '97', status: 'active', word: 'Active', text: 'Camera view obstructed' }, { module: 'Liftgate control', code: 'B1290', failureType: '15', status: 'stored', word: 'Stored', text: 'Liftgate latch switch, circuit open' }] })
scan({ file: 'TB-3391 scan out.pdf', title: 'Post-Repair Scan', number: '55118', day: 'Sep 10, 2026', time: '10:41 AM', local: '2026-09-10T10:41', volts: 13.2, odometer: odometerOut, kind: 'post-scan', made: '2026-09-10T10:44:02-05:00', found: [] })

const box = (on, label) => `<span class="box">${on ? '☒' : '☐'}</span> ${label} &nbsp; `
const field = (label, value) => `<div class="f"><span>${label}</span><div>${value}</div></div>`
p.page('stand form.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:letter;margin:13mm}body{font:10pt 'Liberation Serif'}h1{font:bold 16pt 'Liberation Sans Narrow';text-align:center;letter-spacing:1px}
.two{display:grid;grid-template-columns:1fr 1fr;gap:18px}.f span{font:7pt 'Liberation Sans'}.f div{border:1px solid #000;min-height:16px;padding:2px 5px;margin-bottom:6px}.box{font:12pt 'DejaVu Sans'}table{border-collapse:collapse;width:100%;font-size:9pt}td,th{border:1px solid #000;padding:2px 4px}h2{font:bold 10pt 'Liberation Sans Narrow';background:#ddd;padding:2px 4px}</style>
<h1>SENSOR CALIBRATION RECORD &mdash; SHOP FORM 14</h1>
<div class="two"><div>
<h2>VEHICLE</h2>${field('Year / make / model', '2025 Calder Vantry')}${field('VIN', vin)}${field('License plate', plate)}${field('Odometer (miles)', '22,418')}${field('Repair order', job.jobNumber)}${field('Claim no.', job.claimNumber)}
<h2>PREPARATION</h2><p>${box(1, 'Tires set: LF 35 RF 35 LR 35 RR 35 psi (placard 35)')}<br>${box(1, 'Fuel: full')}<br>${box(1, 'Cargo area empty')}<br>${box(1, 'Battery maintainer connected, 13.4 V')}<br>${box(1, 'Floor level within 3 mm (limit 6 mm)')}</p>
</div><div>
<h2>WORK</h2><p><b>Sensor:</b><br>${box(1, 'Front camera')}${box(0, 'Front radar')}<br>${box(0, 'Corner radar')}${box(0, 'Surround cameras')}</p>
<p><b>Method:</b><br>${box(1, 'Static')}${box(0, 'Dynamic')}</p>
<p><b>Result:</b><br>${box(1, 'Completed')}${box(0, 'Failed')}${box(0, 'Aborted')}</p>
${field('Date', 'September 9, 2026')}${field('Start time', '2:05 PM')}${field('End time', '2:31 PM')}${field('Service information followed', 'Calder SI 08-114, issued March 2, 2026')}${field('Camera serial number', 'CVC-60417-22')}
<h2>EQUIPMENT</h2>${field('Instrument', 'Fennimore Standline 3')}${field('Instrument serial no.', 'FS3-20881')}${field('Software version', '6.0.2')}
</div></div>
<h2>TARGET AND AIM</h2><table><tr><th>Measured</th><th>Reading</th><th>Low limit</th><th>High limit</th><th>Unit</th><th>Check</th></tr>
<tr><td>Target distance</td><td>1502</td><td>1495</td><td>1505</td><td>mm</td><td>✓</td></tr><tr><td>Target height</td><td>1280</td><td>1275</td><td>1285</td><td>mm</td><td>✓</td></tr><tr><td>Camera pitch</td><td>-0.31</td><td>-1.50</td><td>1.50</td><td>deg</td><td>✓</td></tr><tr><td>Camera yaw</td><td>0.44</td><td>-2.00</td><td>2.00</td><td>deg</td><td>✓</td></tr><tr><td>Camera roll</td><td>0.12</td><td>-1.00</td><td>1.00</td><td>deg</td><td>✓</td></tr></table>
<div class="two" style="margin-top:14px">${field('Technician (print)', 'Junia Marsh')}${field('Checked by', 'Odell Pruitt')}</div>`,
{ made: '2026-09-09T14:40:00-05:00', by: 'Shop form 14' },
{ kind: 'calibration', ...car, plate, ...job, odometer: { value: 22418, unit: 'mi' }, technician: 'Junia Marsh', instrument: { name: 'Fennimore Standline 3', serial: 'FS3-20881', software: '6.0.2' }, pages: 1,
  calibrations: [{ sensor: 'front-camera', method: 'static', outcome: 'completed', started: { local: '2026-09-09T14:05' }, ended: { local: '2026-09-09T14:31' }, serial: 'CVC-60417-22', values: [{ name: 'Camera pitch', value: -0.31 }, { name: 'Camera yaw', value: 0.44 }, { name: 'Camera roll', value: 0.12 }] }] })

const begin = clock(road[0].time, -5)
const finish = clock(new Date(road[0].time.getTime() + (log.durationSeconds - 95) * 1000), -5)
const elapsed = log.durationSeconds - 95
p.text('roadlearn_TB-3391.json', JSON.stringify({
  device: { product: 'Lantern Road 2', sn: 'LR2-55031', firmware: '5.8.1' },
  session: { workOrder: job.jobNumber, operator: 'Junia Marsh', rightSeat: 'Odell Pruitt (observer)', printedAt: '2026-09-10T10:20:00-05:00' },
  car: { vin, modelYear: 2025, make: 'Calder', model: 'Vantry', odometerMiles: odometerOut },
  routine: { sensor: 'Front camera', kind: 'Dynamic calibration', serviceDocument: 'Calder SI 08-115, 2026-03-02', begin: `${begin.local}${begin.offset}`, finish: `${finish.local}${finish.offset}`, elapsedSeconds: elapsed, progressPercent: 100, verdict: 'COMPLETED', cameraSerial: 'CVC-60417-22', light: 'daylight, dry' },
  readings: [{ what: 'Pitch offset', is: 0.21, min: -1, max: 1, unit: 'deg', ok: true }, { what: 'Yaw offset', is: -0.38, min: -1.5, max: 1.5, unit: 'deg', ok: true }, { what: 'Roll offset', is: 0.07, min: -1, max: 1, unit: 'deg', ok: true }],
  supplyVoltage: 14.2,
}, null, 2), { kind: 'calibration', ...car, jobNumber: job.jobNumber, odometer: { value: odometerOut, unit: 'mi' }, technician: 'Junia Marsh', batteryVolts: 14.2, instrument: { serial: 'LR2-55031', software: '5.8.1' },
  calibrations: [{ sensor: 'front-camera', method: 'dynamic', outcome: 'completed', progressPercent: 100, durationSeconds: elapsed, serial: 'CVC-60417-22', started: { local: begin.local, offset: '-05:00' }, ended: { local: finish.local, offset: '-05:00' }, values: [{ name: 'Pitch offset', value: 0.21 }, { name: 'Yaw offset', value: -0.38 }, { name: 'Roll offset', value: 0.07 }] }] })

p.text('road 0910.gpx', `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="Wendrake Puck" xmlns="http://www.topografix.com/GPX/1/1"><metadata><time>${road[0].time.toISOString()}</time></metadata><trk><name>TB-3391 camera drive</name><trkseg>
${road.map((q) => `<trkpt lat="${q.lat.toFixed(7)}" lon="${q.lon.toFixed(7)}"><ele>${q.height.toFixed(1)}</ele><time>${q.time.toISOString()}</time><sat>${q.satellites}</sat><hdop>${q.hdop.toFixed(1)}</hdop></trkpt>`).join('\n')}
</trkseg></trk></gpx>\n`, { kind: 'drive-log', drive: log })

const lines = [['Pre-repair scan', 55], ['Replace windshield, acoustic, with camera bracket', 684.2], ['Transfer front camera to new windshield', 48], ['Front camera static calibration', 275], ['Front camera dynamic calibration', 190], ['Post-repair scan', 55]]
const total = lines.reduce((sum, [, amount]) => sum + amount, 0)
const fodt = (body) => `<?xml version="1.0" encoding="UTF-8"?><office:document xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" office:version="1.3" office:mimetype="application/vnd.oasis.opendocument.text"><office:body><office:text>${body}</office:text></office:body></office:document>`
const para = (text) => `<text:p>${text}</text:p>`
const row = (cells) => `<table:table-row>${cells.map((cell) => `<table:table-cell office:value-type="string">${para(escape(cell))}</table:table-cell>`).join('')}</table:table-row>`
p.office('estimate.pdf', 'fodt', fodt(`${para('TOLLIVER BEND COLLISION')}${para('Repair estimate')}${para('')}${para('Prepared September 4, 2026 for claim PLN-0098812-04. Date of loss: September 3, 2026 (stone on the highway).')}${para('')}
<table:table table:name="a"><table:table-column table:number-columns-repeated="4"/>${row(['VIN', vin, 'Repair order', 'TB-3391'])}${row(['Vehicle', '2025 Calder Vantry', 'License plate', plate])}</table:table>${para('')}
<table:table table:name="b"><table:table-column table:number-columns-repeated="3"/>${row(['Line', 'Operation', 'Amount'])}${lines.map(([text, amount], at) => row([String(at + 1), text, amount.toFixed(2)])).join('')}${row(['', 'Estimate total', total.toFixed(2)])}</table:table>`),
{ made: '2026-09-04T11:05:00-05:00', by: 'Desk writer' },
{ kind: 'estimate', ...car, plate, ...job, date: { local: '2026-09-04' }, operations: lines.map(([text, amount]) => ({ text, amount })), pages: 1 })

p.page('receipt.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:80mm 190mm;margin:4mm}body{font:8.5pt 'Liberation Mono';width:72mm}h1{font-size:11pt;text-align:center;margin:2px}p{margin:3px 0}.l{display:flex;justify-content:space-between;gap:6px}.c{text-align:center}hr{border:0;border-top:1px dashed #000}</style>
<h1>TOLLIVER BEND COLLISION</h1><p class="c">INVOICE 26-0883</p><hr><p>Date: 09/10/2026</p><p>RO: TB-3391</p><p>Claim: PLN-0098812-04</p><p>2025 Calder Vantry</p><p>VIN ${vin}</p><p>Plate: ${plate}</p><p>Odometer: ${odometerOut} mi</p><hr>
${lines.map(([text, amount]) => `<div class="l"><span>${text}</span><span>${amount.toFixed(2)}</span></div>`).join('')}<hr><div class="l"><b>TOTAL DUE</b><b>${total.toFixed(2)}</b></div><p class="c">Paid in full. Thank you!</p>`,
{ made: '2026-09-10T14:52:00-05:00', by: 'Till' },
{ kind: 'invoice', ...car, plate, ...job, date: { local: '2026-09-10' }, odometer: { value: odometerOut, unit: 'mi' }, operations: lines.map(([text, amount]) => ({ text, amount })), pages: 1 })

p.text('release mail.txt', `From: Odell Pruitt <odell@tolliverbend.example>
To: Customer desk <desk@tolliverbend.example>
Date: Thu, 10 Sep 2026 14:35:00 -0500
Subject: TB-3391 released

RO TB-3391, VIN ${vin}.

The windshield was replaced on September 9, 2026, done by 11:20 AM; the adhesive had its time before the
car was moved. The stored liftgate code was cleared on September 9, 2026 at 1:45 PM and has not come back. I rode along on the camera drive on September 10 and watched the instrument while Junia drove.
I have looked through both scans and both calibration records, and released the vehicle on September 10, 2026 at 2:30 PM.

Odell Pruitt
quality control
`, { kind: 'statement', vin, jobNumber: job.jobNumber, date: { local: '2026-09-10T14:35', offset: '-05:00' } })

p.text('packet.yaml', `packet: 1
zone: America/Chicago
job: TB-3391
loss: 2026-09-03
intake: 2026-09-08T07:50
release: 2026-09-10T14:30
shop: { name: Tolliver Bend Collision, location: [39.9012, -95.2048] }
`)
p.end({ note: 'Windshield; the front camera on the stand and on the road. Cards, a form with boxes, JSON, a till receipt, an e-mail. All consistent.' })
