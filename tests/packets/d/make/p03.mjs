// Packet 3: PC diagnosis protocol of 44 units (pdfkit), road learn (pdf-lib), insurer-style estimate (pdfkit), dealer invoice (groff), OBD CSV.
import { writeFileSync } from 'node:fs'
import { PDFDocument, rgb, StandardFonts } from '@cantoo/pdf-lib'
import { asModules, at, codeTruth, common, driveTruth, groffPdf, group, kitPdf, later, money, operation, operationsTruth, packet, show, simulate, sum, vin } from './lib.mjs'

const zone = '-05:00', job = '418827', claim = '55-7719-0326', tech = 'L. Marchetti'
const v = { vin: vin('4G9TD6HK', 'NL220915'), year: 2022, make: 'Garrowby', model: 'T4 Crew', plate: 'KWB-2284' }
const p = packet('p03', { note: 'Truck front end; 44-unit protocol before and after. After the road learn the camera still says calibration missing, a brake unit has a new active code, one code is pending and the right rear corner radar is silent.', clean: false,
  expected: [
    { check: 'no-faults-left', verdict: 'fail', files: ['protocol out.pdf'], why: 'B12F4-54 Confirmed + Active in Camera, Front (FCM)' },
    { check: 'no-calibration-faults-left', verdict: 'fail', files: ['protocol out.pdf'], why: 'B12F4-54 says calibration missing' },
    { check: 'no-pending-faults', verdict: 'warn', files: ['protocol out.pdf'], why: 'C1A01-00 Pending in Steering, Electric Assist (EAS)' },
    { check: 'no-new-faults', verdict: 'fail', files: ['protocol out.pdf', 'protocol in.pdf'], why: 'U0415-68 Confirmed + Active in Brake Control (BCU) was not in the first protocol' },
    { check: 'modules-respond', verdict: 'fail', files: ['protocol out.pdf'], why: 'Radar, Rear Corner Right (RCR) No Comm, it answered in the first protocol' },
  ], allowed: ['modules-covered', 'repair-calls-for', 'calibration-recorded', 'alignment-recorded'] })
const units = ['Engine Control (ECU)', 'Transmission Control (TCU)', 'Transfer Case Control (TXC)', 'Brake Control (BCU)', 'Steering, Electric Assist (EAS)', 'Parking Brake, Electric (EPB)', 'Restraints Control (RCU)', 'Seat Occupant Classification, Front Passenger (OCP)', 'Body Control, Front (BCF)', 'Body Control, Rear (BCR)', 'Camera, Front (FCM)', 'Radar, Front Long Range (FLR)', 'Radar, Rear Corner Left (RCL)', 'Radar, Rear Corner Right (RCR)', 'Camera, Rear View (RVC)', 'Park Assist (PAU)', 'Instrument Cluster (ICL)', 'Head-Up Display (HUD)', 'Gateway, Central (CGW)', 'Telematics (TEL)', 'Door Control, Driver (DCD)', 'Door Control, Passenger (DCP)', 'Door Control, Rear Left (DRL)', 'Door Control, Rear Right (DRR)', 'Seat Control, Driver, with Memory and Climate Function (SCD)', 'Seat Control, Passenger (SCP)', 'Climate Control, Front (CCF)', 'Climate Control, Rear (CCR)', 'Steering Column Switch Unit (SCS)', 'Light Control, Left Headlamp (LHL)', 'Light Control, Right Headlamp (LHR)', 'Rain / Light Sensor (RLS)', 'Tire Pressure Monitor (TPM)', 'Trailer Connection Unit (TRU)', 'Trailer Brake Output (TBO)', 'Tailgate Control (TGC)', 'Running Boards, Power (RBP)', 'Audio Head Unit (AHU)', 'Amplifier, Audio (AMP)', 'Wireless Charger (WCH)', 'Battery Monitor (BMS)', 'Inverter, AC Outlet (INV)', 'Immobilizer / Keyless Entry (IKE)', 'Air Suspension, Rear (ASR)']
const inCodes = [
  { module: 'Radar, Front Long Range (FLR)', code: 'C1A0278', printed: 'C1A0278', text: 'Sensor alignment incorrect', word: 'Confirmed + Active', state: 'active', frame: 'first at 41 205 mi, last at 41 206 mi, 54 mph, 13.8 V' },
  { module: 'Camera, Front (FCM)', code: 'B12F4-54', text: 'Front camera, calibration missing', word: 'Confirmed + Active', state: 'active', frame: 'first at 41 206 mi, 0 mph, 12.4 V' },
  { module: 'Instrument Cluster (ICL)', code: 'U0155-00', text: 'Communication with display unit, no further information', word: 'Intermittent', state: 'stored' },
]
const outCodes = [
  { ...inCodes[1], frame: 'first at 41 206 mi, last at 41 223 mi, 48 mph, 14.1 V' },
  { module: 'Brake Control (BCU)', code: 'U0415:68', text: 'Invalid data from longitudinal control, event information', word: 'Confirmed + Active', state: 'active', frame: 'first at 41 221 mi, 51 mph, 14.1 V' },
  { module: 'Steering, Electric Assist (EAS)', code: 'C1A0100', text: 'Torque overlay request, plausibility', word: 'Pending', state: 'pending' },
]
const addresses = units.map((_, i) => (0x10 + i * 3).toString(16).toUpperCase().padStart(2, '0'))
async function protocol(name, stage, local, odo, volts, codes, silent) {
  const state = (n) => (['Trailer Brake Output (TBO)', 'Air Suspension, Rear (ASR)'].includes(n) ? 'not-fitted' : n === silent ? 'no-response' : codes.some((c) => c.module === n) ? 'fault' : 'no-fault')
  const word = { 'not-fitted': 'Not Equipped', 'no-response': 'No Comm', fault: 'DTC Present', 'no-fault': 'OK' }
  const modules = units.map((n) => [n, state(n)])
  await kitPdf(p.file(name), { size: 'LETTER', margin: 36, info: { Title: 'Diagnosis protocol', Creator: 'Sarnex Workshop Suite 12.4' } }, local, zone, (doc) => {
    let y = 0, page = 0
    const F = (b, s = 7.5) => doc.font(b ? 'Helvetica-Bold' : 'Helvetica').fontSize(s)
    const cols = [[36, 30, 'Addr'], [66, 176, 'Control unit'], [242, 92, 'Part number'], [334, 60, 'SW'], [394, 78, 'Status'], [472, 104, 'DTC count']]
    const header = () => {
      page++
      F(true, 11).text('Diagnosis protocol', 36, 30); F(false).text(`Sarnex Workshop Suite 12.4.3   Interface SX-VCI 3, serial 30417-B`, 36, 44)
      F(false).text(`${v.vin}   ${show(local, 'MM/dd/yyyy HH:mm')}`, 300, 32, { width: 276, align: 'right' })
      doc.moveTo(36, 56).lineTo(576, 56).lineWidth(1).stroke(); y = 62
    }
    const tableHead = (cs) => { doc.rect(36, y, 540, 13).fill('#dcdcdc'); doc.fillColor('#000'); F(true); for (const [x, w, t] of cs) doc.text(t, x + 3, y + 3, { width: w - 6, lineBreak: false }); y += 13 }
    const row = (cs, cells, redraw) => {
      F(false); const h = Math.max(...cells.map((t, i) => doc.heightOfString(t, { width: cs[i][1] - 6 }))) + 7
      if (y + h > 740) { doc.addPage(); header(); redraw() }
      F(false); cells.forEach((t, i) => doc.text(t, cs[i][0] + 3, y + 4, { width: cs[i][1] - 6 }))
      doc.rect(36, y, 540, h).lineWidth(0.4).stroke('#999'); for (const [x] of cs.slice(1)) doc.moveTo(x, y).lineTo(x, y + h).stroke('#999'); y += h
    }
    header()
    const info = [['Job type', stage], ['Order', job], ['VIN', v.vin], ['Vehicle', `${v.year} ${v.make} ${v.model}`], ['Registration', v.plate], ['Mileage', `${group(odo, ' ')} mi`], ['Date, time', show(local, 'MM/dd/yyyy HH:mm')], ['Operator', tech], ['Terminal 30', `${volts} V`], ['Terminal 15', 'On, engine off']]
    info.forEach(([k, t], i) => { const x = i % 2 ? 310 : 36, yy = y + Math.floor(i / 2) * 12; F(true, 8).text(k, x, yy); F(false, 8).text(t, x + 80, yy) })
    y += 68; F(true, 9).text('1. Control units', 36, y); y += 14
    tableHead(cols)
    units.forEach((n, i) => row(cols, [addresses[i], n, ['no-response', 'not-fitted'].includes(modules[i][1]) ? '---' : `GT-${4100 + i * 37}-${'ABCDE'[i % 5]}`, ['no-response', 'not-fitted'].includes(modules[i][1]) ? '---' : `${1 + (i % 7)}.${(i * 13) % 90}`, word[modules[i][1]], modules[i][1] === 'fault' ? String(codes.filter((c) => c.module === n).length) : modules[i][1] === 'no-fault' ? '0' : '---'], () => tableHead(cols)))
    y += 6; F(true, 8).text(`Systems with faults: ${modules.filter((m) => m[1] === 'fault').length}     Fault codes in total: ${codes.length}`, 36, y); y += 20
    if (y > 640) { doc.addPage(); header() }
    F(true, 9).text('2. Fault memory', 36, y); y += 14
    const dc = [[36, 62, 'DTC'], [98, 160, 'Control unit'], [258, 218, 'Fault text'], [476, 100, 'Status']]
    tableHead(dc)
    for (const c of codes) row(dc, [c.code, c.module, c.text + (c.frame ? `\nEnvironment: ${c.frame}` : ''), c.word], () => tableHead(dc))
    y += 12; F(false, 7).text('The protocol shows the content of the fault memories at the time named above. End of protocol.', 36, y)
    const n = doc.bufferedPageRange().count
    for (let i = 0; i < n; i++) { doc.switchToPage(i); doc.page.margins.bottom = 0; F(false, 7).text(`Page ${i + 1} of ${n}`, 36, 764, { width: 540, align: 'right' }) }
  })
  p.add(name, { kind: stage.startsWith('Incoming') ? 'pre-scan' : 'post-scan', date: at(local), ...common(v, odo, 'mi'), plate: v.plate, jobNumber: job, batteryVolts: Number(volts), technician: tech, instrument: { name: 'Sarnex Workshop Suite', serial: '30417-B', software: '12.4.3' }, modules: asModules(modules), codes: codes.map(codeTruth), statedCodeCount: codes.length })
}
await protocol('protocol in.pdf', 'Incoming test (before repair)', '2026-03-16T08:42', 41206, '12.7', inCodes)
await protocol('protocol out.pdf', 'Outgoing test (after repair)', '2026-03-19T15:27', 41223, '12.9', outCodes, 'Radar, Rear Corner Right (RCR)')

// road learn: one page, fields down the left, the run's steps with clock times
const drive = simulate(3303, [[12, 0], [30, 40], [8, 0], [60, 78], [260, 84], [170, 80], [80, 86], [30, 50], [12, 0]], [41.5868, -93.625], 250)
const d0 = '2026-03-19T14:08:10', d1 = later(d0, 668)
{
  const doc = await PDFDocument.create(), when = new Date('2026-03-19T14:21:00-05:00')
  doc.setTitle('Road learn record'); doc.setProducer('Rontel RL print'); doc.setCreator('Rontel RL-2'); doc.setCreationDate(when); doc.setModificationDate(when)
  const page = doc.addPage([612, 792]), f = await doc.embedFont(StandardFonts.TimesRoman), b = await doc.embedFont(StandardFonts.TimesRomanBold)
  const T = (s, x, y, size = 10.5, font = f, c = rgb(0, 0, 0)) => page.drawText(s, { x, y, size, font, color: c })
  T('Rontel RL-2', 54, 730, 20, b, rgb(0.05, 0.35, 0.32)); T('Road learn record', 54, 708, 13)
  page.drawLine({ start: { x: 54, y: 700 }, end: { x: 558, y: 700 }, thickness: 2, color: rgb(0.05, 0.35, 0.32) })
  const left = [['Printed', show('2026-03-19T14:21', 'MMM d, yyyy HH:mm')], ['VIN', v.vin], ['Vehicle', `${v.year} ${v.make} ${v.model}`], ['License plate', v.plate], ['Odometer', '41,222 mi'], ['Repair order', job], ['Technician', tech], ['Driver', 'P. Osei-Lund'], ['Unit serial', 'RL2-55190'], ['Firmware', '2.7.5'], ['Supply', '14.0 V']]
  left.forEach(([k, t], i) => { T(k, 54, 680 - i * 17, 10.5, b); T(t, 150, 680 - i * 17) })
  T('Front long range radar, dynamic', 54, 474, 13, b)
  const more = [['Sensor serial', 'GR8-0071-3356'], ['Sensor part', 'GT-4507-E'], ['Service document', 'GSD 61-14 (2026-01-22)'], ['Start', show(d0, 'MMM d, yyyy HH:mm:ss')], ['End', show(d1, 'MMM d, yyyy HH:mm:ss')], ['Drive time', '11 min 08 s'], ['Result', 'Successful'], ['Progress', '100 %']]
  more.forEach(([k, t], i) => { T(k, 54, 452 - i * 16, 10.5, b); T(t, 150, 452 - i * 16) })
  T('Clock', 340, 474, 10.5, b); T('Progress', 420, 474, 10.5, b); T('Speed', 490, 474, 10.5, b)
  ;[[60, 0, 12], [180, 18, 52], [300, 41, 52], [420, 63, 50], [540, 87, 53], [640, 100, 37]].forEach(([s, pr, sp], i) => { T(later(d0, s).slice(11), 340, 456 - i * 15); T(`${pr} %`, 420, 456 - i * 15); T(`${sp} mph`, 490, 456 - i * 15) })
  T('Measured', 200, 300, 10.5, b); T('Allowed range', 290, 300, 10.5, b)
  ;[['Azimuth correction', '-0.42 deg', '-2.50 to 2.50 deg'], ['Elevation correction', '0.18 deg', '-1.80 to 1.80 deg']].forEach(([a, m, l], i) => { T(a, 54, 282 - i * 16); T(m, 200, 282 - i * 16); T(l, 290, 282 - i * 16) })
  T('Keep the record with the repair order. Observe traffic law; a second person operates the unit.', 54, 220, 9)
  writeFileSync(p.file('road learn FLR.pdf'), await doc.save({ useObjectStreams: false }))
}
p.add('road learn FLR.pdf', { kind: 'calibration', date: at('2026-03-19T14:21'), ...common(v, 41222, 'mi'), plate: v.plate, jobNumber: job, batteryVolts: 14, technician: tech, instrument: { name: 'Rontel RL-2', serial: 'RL2-55190', software: '2.7.5' }, calibrations: [{ sensor: 'front-radar', position: null, method: 'dynamic', outcome: 'completed', progressPercent: 100, started: at(d0), ended: at(d1), durationSeconds: 668, serial: 'GR8-0071-3356', part: 'GT-4507-E', procedure: 'GSD 61-14', values: [{ name: 'Azimuth correction', value: -0.42, unit: 'deg', least: -2.5, most: 2.5, stated: null }, { name: 'Elevation correction', value: 0.18, unit: 'deg', least: -1.8, most: 1.8, stated: null }] }] })

const seg = drive.slice(0, 663)
writeFileSync(p.file('obd_20260319_140813.csv'), `Timestamp,Elapsed [ms],Vehicle Speed [mph],Engine Speed [rpm],Coolant Temp [F],Throttle [%],Manifold Pressure [kPa],Fuel Trim Short [%],Latitude,Longitude,GPS Speed [mph],Heading [deg],Module Voltage [V]\r\n${seg.map((q) => `${later('2026-03-19T14:08:13', q.t).replace('T', ' ')}.${String(100 + Math.floor(q.x * 80))},${q.t * 1000 + Math.floor(q.x * 80)},${Math.round((q.v * 3.6) / 1.609344)},${Math.round(690 + q.v * 48 + 22 * q.n)},${Math.round(178 + q.t / 60)},${(12 + q.v * 0.5 + q.n).toFixed(1)},${Math.round(34 + q.v + 2 * q.n)},${(q.n * 1.4).toFixed(1)},${q.lat.toFixed(6)},${q.lon.toFixed(6)},${((q.gps * 3.6) / 1.609344).toFixed(1)},${q.heading.toFixed(0)},${(14.05 + 0.05 * q.n).toFixed(2)}`).join('\r\n')}\r\n`)
p.add('obd_20260319_140813.csv', { kind: 'drive-log', drive: driveTruth(seg) })

// insurer-style estimate: line numbers, symbols, legend
const lines = [['*', 'Repl', operation('Front bumper assembly w/sensor holes', 1184.5, 'repair', ['front-radar', 'ultrasonic']), '2.9'], ['', 'R&I', operation('Grille assembly', 48.8, 'repair', ['front-radar']), '0.8'], ['**', 'Repl', operation('Radar mounting bracket, A/M', 92.15, 'repair', ['front-radar']), '0.5'], ['#', 'Subl', operation('Pre-repair scan', 75, 'scan'), ''], ['#', 'Subl', operation('Calibrate front radar (dynamic)', 280, 'calibration', ['front-radar']), ''], ['#', 'Subl', operation('Post-repair scan', 75, 'scan'), ''], ['', 'Rfn', operation('Bumper face bar, clear coat', 136.5), '2.1'], ['#', '', operation('Hazardous waste removal', 6.5), '']]
await kitPdf(p.file('EOR 55-7719-0326.pdf'), { size: 'LETTER', margin: 40, info: { Title: 'Estimate of Record', Creator: 'Claimpath Desk' } }, '2026-03-17T11:02', zone, (doc) => {
  const C = (s, x, y, o) => doc.text(s, x, y, { lineBreak: false, ...o })
  doc.font('Courier-Bold').fontSize(12); C('TRENWICK PLAINS CASUALTY', 40, 40); C('ESTIMATE OF RECORD', 400, 40)
  doc.font('Courier').fontSize(8.5)
  ;['Claim #: ' + claim, 'Written by: R. Halloran, Lic. 77-2041', `Date: ${show('2026-03-17T11:02', 'MM/dd/yyyy hh:mm a')}`, 'Insured: Sorrel Freight Co.', 'Date of loss: 03/09/2026   Type of loss: Collision   Point of impact: 12 Front', `Vehicle: ${v.year} ${v.make} ${v.model} 4D P/U`, `VIN: ${v.vin}   License: ${v.plate}   Odometer: 41,206 mi`, `Repair facility: Ashmead Garrowby Trucks, RO ${job}`].forEach((s, i) => C(s, 40, 62 + i * 12))
  let y = 172; doc.rect(40, y - 4, 532, 15).stroke(); doc.font('Courier-Bold'); C('Line', 44, y); C('Oper', 96, y); C('Description', 140, y); C('Labor', 420, y); C('Ext. Price $', 486, y); y += 18; doc.font('Courier')
  C('1', 48, y); doc.font('Courier-Bold'); C('FRONT BUMPER & GRILLE', 140, y); doc.font('Courier'); y += 13
  lines.forEach(([sym, op, o, hrs], i) => { C(String(i + 2), 48, y); C(sym, 70, y); C(op, 96, y); C(o.text, 140, y); C(hrs, 424, y); C(money(o.amount), 486, y, { width: 80, align: 'right' }); y += 13 })
  y += 8; const s = sum(lines.map((l) => l[2])); [['SUBTOTALS', s], ['Sales tax 7.0000 %', Math.round(s * 7) / 100], ['Deductible', -500], ['NET COST OF REPAIRS', s + Math.round(s * 7) / 100 - 500]].forEach(([k, n]) => { C(k, 320, y); C(money(n), 486, y, { width: 80, align: 'right' }); y += 12 })
  y += 16; doc.fontSize(7); C('Symbols: * = user-entered value   ** = aftermarket part   # = manual line entry', 40, y); C('Repl = replace   R&I = remove and install   Rfn = refinish   Subl = sublet', 40, y + 10); C('Labor hours are included in the extended price at 61.00 per hour.', 40, y + 20)
})
p.add('EOR 55-7719-0326.pdf', { kind: 'estimate', date: at('2026-03-17T11:02'), ...common(v, 41206, 'mi'), plate: v.plate, jobNumber: job, claimNumber: claim, operations: operationsTruth(lines.map((l) => l[2]), false) })

// dealer invoice: complaint, cause, correction, operation codes
const dealer = [['A', '11FB02', 'FRONT BUMPER ASSEMBLY AND GRILLE, REPLACE AND REFINISH', 1462.95, 'repair', ['front-radar'], 'CUSTOMER STATES VEHICLE WAS HIT IN FRONT, CRUISE NOT AVAILABLE', 'IMPACT DAMAGE TO BUMPER AND RADAR BRACKET', 'REPLACED BUMPER AND BRACKET, REFINISHED FACE BAR'], ['B', '61SC10', 'COMPLETE VEHICLE SCAN BEFORE AND AFTER REPAIR', 150, 'scan', [], 'SCAN REQUESTED BY INSURER', 'CODES FOUND, SEE PROTOCOL', 'SCANNED ALL UNITS, PROTOCOLS ON FILE'], ['C', '61RL04', 'FRONT RADAR, DYNAMIC CALIBRATION', 280, 'calibration', ['front-radar'], 'RADAR BRACKET REPLACED', 'ALIGNMENT REQUIRED AFTER REPLACEMENT', 'PERFORMED ROAD LEARN, 100 PERCENT, GSD 61-14']]
const s3 = dealer.reduce((s, d) => s + d[3], 0)
groffPdf(`.pl 11i\n.sp 0.6i\n.po 0.7i\n.ll 7.1i\n.nf\n.ft CB\n.ps 13\nASHMEAD GARROWBY TRUCKS\n.ft CR\n.ps 9\n.vs 11\n4400 Rail Yard Road, Des Moines, IA 50313     SERVICE (515) 555-0117\n\\l'7.1i'\n.ft CB\nINVOICE ${job}                                       PAGE 1\n.ft CR\nR.O. OPENED  03/16/2026     READY  03/19/2026     INVOICE DATE  03/20/2026\nADVISOR  208 KIT ROWNTREE   TAG T-114             CUST NO 90417\nCUSTOMER     SORREL FREIGHT CO.\nYEAR/MAKE/MODEL  ${v.year} ${v.make.toUpperCase()} ${v.model.toUpperCase()}\nVIN ${v.vin}      LICENSE ${v.plate}\nMILEAGE IN 41206    MILEAGE OUT 41223\nCLAIM ${claim}\n\\l'7.1i'\n.ft CB\nLINE OPCODE  DESCRIPTION                                    TECH     AMOUNT\n.ft CR\n${dealer.map(([l, c, t, n, , , a, b, e]) => `.sp 0.5\n${l}    ${c}  ${t.padEnd(58)}\n              COMPLAINT:  ${a}\n              CAUSE:      ${b}\n              CORRECTION: ${e}\n.ft CB\n${`              LINE ${l} TOTAL`.padEnd(56)}417  ${money(n).padStart(10)}\n.ft CR`).join('\n')}\n\\l'7.1i'\n${'SUBTOTAL'.padStart(56)}     ${money(s3).padStart(10)}\n${'SALES TAX'.padStart(56)}     ${money(Math.round(s3 * 7) / 100).padStart(10)}\n.ft CB\n${'TOTAL'.padStart(56)}     ${money(s3 + Math.round(s3 * 7) / 100).padStart(10)}\n.ft CR\n.sp\nALL PARTS NEW. PARTS AND LABOR WARRANTED 12 MONTHS. SIGNATURE ____________________\n`, p.file('RO418827.pdf'), '2026-03-20T08:31', zone, ['-P-pletter', '-dpaper=letter'])
p.add('RO418827.pdf', { kind: 'invoice', date: at('2026-03-20'), vin: v.vin, vehicle: { year: v.year, make: v.make, model: v.model }, plate: v.plate, jobNumber: job, claimNumber: claim, operations: dealer.map((d) => ({ text: d[2], calls: d[5], billed: true, amount: d[3], kind: d[4] })) })
p.end()
