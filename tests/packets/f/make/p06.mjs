/** p06. German and English, with defects: the calibration was broken off, another vehicle's scan lies in the packet. Text in columns, a table on its side. */
import { vinOf } from '../../e/make/lib.mjs'
import { packet } from './press.mjs'

const p = packet('p06')
const vin = vinOf('7YLMB4HC_SK720551')
const other = vinOf('7YLMB4HC_SK720915')
const [jobNumber, claimNumber, plate] = ['K-7781', 'LV 2026/40117', 'OS-BM 226']
const names = ['Motor', 'Getriebe', 'Bremse', 'Lenkung', 'Airbag', 'Frontkamera', 'Kombiinstrument', 'Gateway']
const scan = ({ file, title, when, local, km, volts, found, kind, of }) => {
  const cells = names.map((name) => `${name.padEnd(18)}${(found.some((one) => one.module === name) ? 'Fehler' : 'i. O.').padEnd(12)}`)
  const rows = []
  for (let at = 0; at < cells.length; at += 2) rows.push(`${cells[at]}${cells[at + 1] ?? ''}`.trimEnd())
  p.text(file, `${title}
${'='.repeat(60)}
FIN         ${of}      Auftrag     ${jobNumber}
Kennz.      ${plate}              km-Stand    ${km}
Datum       ${when}       Bordnetz    ${volts} V
Prüfer      Gesa Lammers           Prüfgerät   Ostkamp P2
Geräte-Nr.  OP2-66120              Software    4.4

${rows.join('\n')}

${found.map((one) => `${one.module}: ${one.code}-${one.failureType} ${one.text}, ${one.word}`).join('\n')}
Anzahl Fehlercodes: ${found.length}
`, { kind, vin: of, plate, jobNumber, date: { local }, odometer: { value: km, unit: 'km' }, batteryVolts: Number(volts.replace(',', '.')), technician: 'Gesa Lammers', instrument: { serial: 'OP2-66120', software: '4.4' }, modules: names.map((name) => ({ name, state: found.some((one) => one.module === name) ? 'fault' : 'no-fault' })), codes: found.map(({ word, text, ...code }) => code), statedCodeCount: found.length })
}
scan({ file: 'Eingang.txt', title: 'EINGANGSTEST', when: '14.09.2026 07:58', local: '2026-09-14T07:58', km: 33018, volts: '12,4', kind: 'pre-scan', of: vin, found: [{ module: 'Frontkamera', code: 'B1A77', failureType: '97', status: 'active', word: 'aktuell vorhanden', text: 'Sichtfeld verdeckt' }] })
scan({ file: 'Ausgang.txt', title: 'ABSCHLUSSTEST', when: '15.09.2026 16:31', local: '2026-09-15T16:31', km: 33019, volts: '12,8', kind: 'post-scan', of: other, found: [] })
p.page('camera calibration.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:15mm}body{font:10pt 'Liberation Sans'}th,td{border:1px solid #99a;padding:3px 7px;text-align:left}table{border-collapse:collapse;margin:8px 0}</style><h1>Calibration record</h1>
<table><tr><th>VIN</th><th>Order</th><th>Plate</th><th>Odometer</th><th>Technician</th></tr><tr><td>${vin}</td><td>${jobNumber}</td><td>${plate}</td><td>33 018 km</td><td>Gesa Lammers</td></tr></table>
<table><tr><th>Sensor</th><td>Front camera</td></tr><tr><th>Type</th><td>static</td></tr><tr><th>Date</th><td>15.09.2026</td></tr><tr><th>From – to</th><td>10:12 – 10:29</td></tr><tr><th>Result</th><td>aborted by the operator at 60 %</td></tr><tr><th>Service information</th><td>Lindmoor 77-310, 2026-02</td></tr><tr><th>Instrument</th><td>Ostkamp Tafel</td></tr><tr><th>Instrument serial</th><td>OT-1120</td></tr><tr><th>Software</th><td>1.9</td></tr></table>
<table><tr><th>Measured</th><th>Pitch</th><th>Yaw</th><th>Roll</th></tr><tr><th>Actual (deg)</th><td>0.31</td><td>-0.20</td><td>0.11</td></tr><tr><th>Lower limit</th><td>-1.50</td><td>-2.00</td><td>-1.00</td></tr><tr><th>Upper limit</th><td>1.50</td><td>2.00</td><td>1.00</td></tr></table>`,
{ made: '2026-09-15T10:40:00+02:00', by: 'Ostkamp Tafel' }, { kind: 'calibration', vin, plate, jobNumber, odometer: { value: 33018, unit: 'km' }, technician: 'Gesa Lammers', instrument: { serial: 'OT-1120', software: '1.9' }, pages: 1, calibrations: [{ sensor: 'front-camera', method: 'static', outcome: 'aborted', progressPercent: 60, started: { local: '2026-09-15T10:12' }, ended: { local: '2026-09-15T10:29' }, values: [{ name: 'Pitch', value: 0.31 }, { name: 'Yaw', value: -0.2 }, { name: 'Roll', value: 0.11 }] }] })
const lines = [['Eingangstest', 52], ['Windschutzscheibe ersetzen', 598], ['Kalibrierung Frontkamera statisch', 215], ['Abschlusstest', 52]]
const euro = (n) => n.toFixed(2).replace('.', ',')
const operations = lines.map(([text, amount]) => ({ text, amount }))
const sum = euro(lines.reduce((s, [, n]) => s + n, 0))
p.text('Angebot.txt', `Angebot 7781 vom 10.09.2026\n\nFIN: ${vin}   Kennzeichen: ${plate}\nAuftrag: ${jobNumber}   Schaden-Nr.: ${claimNumber}\nkm-Stand: 33010\n\n${lines.map(([text, n]) => `${text} ${'.'.repeat(50 - text.length)} ${euro(n)} €`).join('\n')}\nSumme ${'.'.repeat(45)} ${sum} €\n`, { kind: 'estimate', vin, plate, jobNumber, claimNumber, date: { local: '2026-09-10' }, odometer: { value: 33010, unit: 'km' }, operations })
p.text('Rechnung.csv', `"Rechnung";"R-5561"\n"Rechnungsdatum";"16.09.2026"\n"FIN";"${vin}"\n"Kennzeichen";"${plate}"\n"Auftrag";"${jobNumber}"\n"Schaden-Nr.";"${claimNumber}"\n"km-Stand";"33019"\n\n"Pos";"Text";"Menge";"Preis EUR"\n${lines.map(([text, n], at) => `"${at + 1}";"${text}";"1";"${euro(n)}"`).join('\n')}\n"";"Summe";"";"${sum}"\n`, { kind: 'invoice', vin, plate, jobNumber, claimNumber, date: { local: '2026-09-16' }, odometer: { value: 33019, unit: 'km' }, operations })
p.text('packet.yaml', 'packet: 1\nzone: Europe/Berlin\nintake: 2026-09-14T07:50\nrelease: 2026-09-16\n')
p.end({ note: 'The camera calibration was aborted at 60 %; the last scan is of another vehicle.', expected: [{ check: 'calibration-completed', verdict: 'fail', files: ['camera calibration.pdf'], why: 'aborted at 60 %' }, { check: 'vin-agrees', verdict: 'fail', files: ['Ausgang.txt'], why: '720915 for 720551' }], allowed: ['calibration-reached-full'] })
