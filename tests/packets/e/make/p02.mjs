/** p02, clean. A front bumper in a German-speaking shop: front radar on the stand and on the road, corner radars, geometry. */
import { clock, drive, escape, measure, packet, vinOf } from './lib.mjs'

const p = packet('p02')
const vin = vinOf('7YNE5KA4_RL660932')
const car = { vin, vehicle: { year: 2024, make: 'Norvald', model: 'Esker' } }
const plate = 'LK-RV 418'
const jobNumber = 'A-26/0457'
const claimNumber = 'SB 4471-882'
const zone = '+02:00'

const road = drive({ way: [[0, 0], [-250, 40, 9], [-260, 1100, 13, 18], [-3000, 1300, 19], [-3300, 7200, 28], [-9800, 7600, 32], [-10100, 1500, 30], [-4000, 700, 26], [-260, 420, 14, 12], [-250, 40, 11], [0, 0, 7]], at: [48.3127, 11.0864], started: '2026-06-17T11:02:30Z', seed: 902 })
const log = measure(road)
const kmOut = 48214 + Math.ceil(log.distanceMetres / 1000)
const thousands = (value) => String(value).replace(/(\d)(\d{3})$/, '$1 $2')

const modules = ['Motor / Engine', 'Getriebe / Transmission', 'Bremse ESP / Brake', 'Lenkung / Steering', 'Airbag / Restraint', 'Bordnetz / Body', 'Kombiinstrument / Cluster', 'Gateway', 'Radar vorn / Front radar', 'Eckradar VL / Corner radar FL', 'Eckradar VR / Corner radar FR', 'Frontkamera / Front camera', 'Einparkhilfe / Park aid', 'Klima / Climate', 'Reifendruck / Tire pressure']
function scan({ file, title, date, local, volts, km, found, kind, ids }) {
  const rows = modules.flatMap((name, at) => {
    const mine = found.filter((one) => one.module === name)
    return [`  ${String(at + 1).padStart(2, '0')}  ${name.padEnd(34)}${(mine.length ? 'FEHLER / FAULT' : 'i.O. / OK').padEnd(20)}${String(mine.length).padStart(3)}`, ...mine.map((c) => `        ${`${c.code}-${c.failureType}`.padEnd(12)}${c.word.padEnd(24)}${c.text}`)]
  })
  p.text(file, `================================================================================
  ORRBERG DIAGNOSE D7                                   Werkstatt Lindgrund, Halle 2
  ${title}
================================================================================
  FIN / VIN.................. ${vin}
  Fahrzeug / Vehicle......... Norvald Esker, Modelljahr / model year 2024
  Kennzeichen / Plate........ ${plate}
  Auftrag / Order no......... ${jobNumber}
  Datum / Date............... ${date} (UTC+02:00)
  Kilometerstand / Odometer.. ${thousands(km)} km
  Batterie / Battery......... ${String(volts).replace('.', ',')} V  Ladegeraet angeschlossen / charger connected
  Pruefer / Technician....... Wiebke Harms
  Geraet-Nr. / Tool serial... OD7-114-0093
  Software / Software........ 3.18.2
  Protokoll / Report no...... ${ids}
--------------------------------------------------------------------------------
  NR  STEUERGERAET / ECU                STATUS / STATE      CODES
--------------------------------------------------------------------------------
${rows.join('\n')}
--------------------------------------------------------------------------------
  Steuergeraete geprueft / ECUs scanned: ${modules.length}     Fehlercodes gesamt / Total fault codes: ${found.length}
  Ende des Protokolls / End of report                                  Seite/Page 1/1
`, { kind, ...car, plate, jobNumber, date: { local, offset: zone }, odometer: { value: km, unit: 'km' }, batteryVolts: volts, technician: 'Wiebke Harms', instrument: { name: 'Orrberg Diagnose D7', serial: 'OD7-114-0093', software: '3.18.2' },
    modules: modules.map((name) => ({ name, state: found.some((one) => one.module === name) ? 'fault' : 'no-fault' })), codes: found.map(({ word, text, ...code }) => code), statedCodeCount: found.length })
}
scan({ file: 'Scan_Eingang.txt', title: 'EINGANGSSCAN / PRE-REPAIR SCAN', date: '15.06.2026 07:52', local: '2026-06-15T07:52', volts: 12.8, km: 48213, kind: 'pre-scan', ids: 'P-20931', found: [{ module: 'Radar vorn / Front radar', code: 'C1A55', failureType: '49', status: 'active', word: 'aktiv / active', text: 'Sensor intern / internal electronic failure' }, { module: 'Eckradar VL / Corner radar FL', code: 'U0235', failureType: '87', status: 'stored', word: 'gespeichert / stored', text: 'Radar vorn, Botschaft fehlt / message missing' }] })
scan({ file: 'Scan_Ausgang.txt', title: 'AUSGANGSSCAN / POST-REPAIR SCAN', date: '17.06.2026 14:20', local: '2026-06-17T14:20', volts: 13.1, km: kmOut, kind: 'post-scan', ids: 'P-20977', found: [] })

const wheels = [['Sturz VL / Camber FL', '-0°41\'', '-0°32\'', '-1°00\'', '0°00\''], ['Sturz VR / Camber FR', '-0°55\'', '-0°35\'', '-1°00\'', '0°00\''], ['Spur VL / Toe FL', '+0°14\'', '+0°05\'', '0°00\'', '+0°10\''], ['Spur VR / Toe FR', '-0°09\'', '+0°05\'', '0°00\'', '+0°10\''], ['Spur HL / Toe RL', '+0°07\'', '+0°07\'', '+0°02\'', '+0°12\''], ['Spur HR / Toe RR', '+0°06\'', '+0°06\'', '+0°02\'', '+0°12\''], ['Fahrachswinkel / Thrust angle', '+0°01\'', '+0°00\'', '-0°06\'', '+0°06\'']]
p.page('Achsvermessung.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:16mm}body{font:9.5pt 'Liberation Sans'}h1{font-size:15pt;color:#0b4f6c}table{border-collapse:collapse;width:100%}td,th{padding:3px 5px;border-bottom:1px solid #9ab}th{background:#e2eef3;text-align:left}.in{color:#a00}.h td{border:0;padding:1px 5px;width:25%}</style>
<h1>Achsvermessung / Wheel alignment</h1><p>Spurhof Ettrich, Messplatz 1</p>
<table class="h"><tr><td>FIN / VIN</td><td>${vin}</td><td>Datum / Date</td><td>16.06.2026</td></tr><tr><td>Kennzeichen / Plate</td><td>${plate}</td><td>Beginn / Start</td><td>15:10</td></tr><tr><td>Auftrag / Order no.</td><td>${jobNumber}</td><td>Ende / End</td><td>16:02</td></tr><tr><td>Kilometerstand / Odometer</td><td>48 213 km</td><td>Prüfer / Technician</td><td>Tammo Reiners</td></tr><tr><td>Messgerät / Instrument</td><td>Quellhorst Achs 9</td><td>Geräte-Nr. / Serial no.</td><td>QA9-3317</td></tr></table>
<table style="margin-top:12px"><tr><th>Messwert / Value</th><th>Eingang / Before</th><th>Ausgang / After</th><th>Min.</th><th>Max.</th></tr>${wheels.map((row) => `<tr>${row.map((cell, at) => `<td${at === 1 ? ' class="in"' : ''}>${cell}</td>`).join('')}</tr>`).join('')}</table>
<p>Lenkrad gerade / steering wheel straight. Lenkwinkelsensor: Nullpunkt gesetzt am 16.06.2026 um 16:00 / steering angle sensor: zero point set, completed.</p>
<p>Reifendruck / tire pressure: 2,5 bar vorn, 2,4 bar hinten (Soll / placard 2,5 / 2,4). Ergebnis / Result: alle Werte in der Toleranz / all values within tolerance.</p>`,
{ made: '2026-06-16T16:10:00+02:00', by: 'Quellhorst Achs 9' },
{ kind: 'alignment', vin, plate, jobNumber, odometer: { value: 48213, unit: 'km' }, technician: 'Tammo Reiners', instrument: { serial: 'QA9-3317' }, pages: 1 })

const stands = [
  { name: 'Radar vorn / Front radar', sensor: 'front-radar', position: null, serial: 'NR-77-20415', from: '09:15', to: '09:38', values: [['Azimut / Azimuth', 0.14, -0.8, 0.8], ['Elevation', -0.22, -1, 1]] },
  { name: 'Eckradar vorn links / Corner radar front left', sensor: 'corner-radar', position: 'front left', serial: 'NC-31-00871', from: '09:52', to: '10:09', values: [['Azimut / Azimuth', 0.61, -2, 2], ['Elevation', 0.3, -1.5, 1.5]] },
  { name: 'Eckradar vorn rechts / Corner radar front right', sensor: 'corner-radar', position: 'front right', serial: 'NC-31-00902', from: '10:15', to: '10:31', values: [['Azimut / Azimuth', -0.48, -2, 2], ['Elevation', 0.25, -1.5, 1.5]] },
]
const comma = (number, digits = 2) => number.toFixed(digits).replace('.', ',')
p.page('Radarstand 2026-06-17.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4 landscape;margin:12mm}body{font:9pt 'DejaVu Sans Condensed'}h1{font-size:14pt;margin:0 0 6px}table{border-collapse:collapse;width:100%}td,th{border:1px solid #444;padding:3px 5px;vertical-align:top}th{background:#fbe8c8}.meta{columns:3;margin-bottom:8px}</style>
<h1>Kalibrierprotokoll (Stand) / Static calibration record</h1>
<div class="meta">FIN / VIN: ${vin}<br>Fahrzeug / Vehicle: 2024 Norvald Esker<br>Kennzeichen / Plate: ${plate}<br>Auftrag / Order no.: ${jobNumber}<br>Kilometerstand / Odometer: 48 214 km<br>Datum / Date: 17.06.2026<br>Zeitzone / Time zone: UTC+02:00<br>Prüfer / Technician: Wiebke Harms<br>Gerät / Instrument: Orrberg Stand S2<br>Geräte-Nr. / Serial no.: OS2-0448<br>Software: 5.0.7<br>Anleitung / Procedure: Norvald NR-66-031 (12.01.2026)</div>
<table><tr><th>Sensor</th><th>Seriennr. / Serial</th><th>Art / Method</th><th>Beginn / Start</th><th>Ende / End</th><th>Fortschritt / Progress</th><th>Ergebnis / Result</th><th>Messwert / Value</th><th>Ist / Actual</th><th>Min.</th><th>Max.</th><th>Einheit / Unit</th></tr>
${stands.map((s) => s.values.map(([name, value, least, most], at) => `<tr>${at ? '' : `<td rowspan="2">${s.name}</td><td rowspan="2">${s.serial}</td><td rowspan="2">statisch / static</td><td rowspan="2">${s.from}</td><td rowspan="2">${s.to}</td><td rowspan="2">100 %</td><td rowspan="2">abgeschlossen / completed</td>`}<td>${name}</td><td>${comma(value)}</td><td>${comma(least)}</td><td>${comma(most)}</td><td>°</td></tr>`).join('')).join('')}</table>
<p>Vorbereitung / Preparation: Reifendruck / tire pressure 2,5 bar vorn, 2,4 bar hinten (Soll / placard 2,5 / 2,4) &#10003; &nbsp; Tank voll / fuel full &#10003; &nbsp; Kofferraum leer / cargo area empty &#10003; &nbsp; Ladegerät / charger 13,6 V &#10003; &nbsp; Boden eben / floor level 4 mm (max. 8 mm) &#10003; &nbsp; Abstand Spiegel / target distance 2500 mm (2495 – 2505) &#10003;</p><p style="text-align:right">Seite / Page 1 / 1</p>`,
{ made: '2026-06-17T10:40:00+02:00', by: 'Orrberg Stand S2' },
{ kind: 'calibration', ...car, plate, jobNumber, odometer: { value: 48214, unit: 'km' }, technician: 'Wiebke Harms', instrument: { serial: 'OS2-0448', software: '5.0.7' }, pages: 1,
  calibrations: stands.map((s) => ({ sensor: s.sensor, position: s.position, method: 'static', outcome: 'completed', progressPercent: 100, serial: s.serial, started: { local: `2026-06-17T${s.from}` }, ended: { local: `2026-06-17T${s.to}` }, values: s.values.map(([name, value]) => ({ name, value })) })) })

const from = clock(road[0].time, 2)
const seconds = log.durationSeconds - 130
const to = clock(new Date(road[0].time.getTime() + seconds * 1000), 2)
p.page('Bestaetigung Fahrt.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:24mm}body{font:11pt/1.4 'C059'}.r{text-align:right}h1{font-size:12.5pt}</style>
<p><b>Werkstatt Lindgrund</b><br>Am Mühlbach 4</p><p class="r">17.06.2026</p>
<h1>Calibration certificate / Kalibrierbestätigung: front radar, dynamic / Radar vorn, dynamisch</h1>
<p>VIN / FIN: ${vin}<br>Vehicle / Fahrzeug: 2024 Norvald Esker<br>Plate / Kennzeichen: ${plate}<br>Order no. / Auftrag: ${jobNumber}<br>Odometer / Kilometerstand: ${thousands(kmOut)} km</p>
<p>To whom it may concern,</p>
<p>we confirm that the front radar of this vehicle, serial number NR-77-20415, was calibrated dynamically on the road on 17.06.2026, start ${from.time.slice(0, 5)}, end ${to.time.slice(0, 5)} (UTC+02:00). The procedure Norvald NR-66-032 of 12.01.2026 was followed, the progress reached 100 % and the calibration was completed without error. The road was dry and it was day.</p>
<p>Instrument / Gerät: Orrberg Diagnose D7<br>Serial no. / Geräte-Nr.: OD7-114-0093<br>Software: 3.18.2<br>Technician / Prüfer: Wiebke Harms<br>Observer on the drive / Beifahrer: Tammo Reiners</p>
<p>Yours faithfully / Mit freundlichen Grüßen</p><p><i>Wiebke Harms</i></p>`,
{ made: '2026-06-17T14:45:00+02:00', by: 'Schreibtisch' },
{ kind: 'calibration', ...car, plate, jobNumber, odometer: { value: kmOut, unit: 'km' }, technician: 'Wiebke Harms', instrument: { serial: 'OD7-114-0093', software: '3.18.2' }, pages: 1,
  calibrations: [{ sensor: 'front-radar', method: 'dynamic', outcome: 'completed', progressPercent: 100, serial: 'NR-77-20415', started: { local: from.local.slice(0, 16) }, ended: { local: to.local.slice(0, 16) } }] })

const sentence = (body) => `$${body}*${[...body].reduce((sum, mark) => sum ^ mark.charCodeAt(0), 0).toString(16).toUpperCase().padStart(2, '0')}`
const degrees = (value, width) => `${String(Math.floor(value)).padStart(width, '0')}${((value % 1) * 60).toFixed(5).padStart(8, '0')}`
p.text('fahrt_radar.nmea', `${road.flatMap((q, i) => {
  const hms = q.time.toISOString().slice(11, 19).replaceAll(':', '')
  const day = q.time.toISOString().slice(2, 10).split('-').reverse().join('')
  const next = road[Math.min(i + 1, road.length - 1)]
  const course = (Math.atan2(next.east - q.east, next.north - q.north) * 180 / Math.PI + 360) % 360
  const place = `${degrees(q.lat, 2)},N,${degrees(q.lon, 3)},E`
  return [sentence(`GPGGA,${hms}.00,${place},1,${String(q.satellites).padStart(2, '0')},${q.hdop.toFixed(1)},${(q.height + 270).toFixed(1)},M,46.9,M,,`), sentence(`GPRMC,${hms}.00,A,${place},${(q.v * 3600 / 1852).toFixed(2)},${course.toFixed(1)},${day},,,A`)]
}).join('\r\n')}\r\n`, { kind: 'drive-log', drive: log })

const lines = [['Eingangsscan / Pre-repair scan', 59], ['Stoßfänger vorn ersetzen / Replace front bumper cover', 742.5], ['Radar vorn ersetzen / Replace front radar, S/N NR-77-20415', 1180], ['Spurstange links ersetzen / Replace left tie rod', 214.9], ['Achsvermessung (Fremdleistung) / Wheel alignment (sublet)', 119], ['Kalibrierung Radar vorn statisch / Front radar static calibration', 240], ['Kalibrierung Radar vorn dynamisch / Front radar dynamic calibration', 160], ['Kalibrierung Eckradar vorn links + rechts / Corner radar calibration front left + right', 280], ['Ausgangsscan / Post-repair scan', 59]]
const euro = (amount) => amount.toFixed(2).replace('.', ',').replace(/(\d)(\d{3}),/, '$1.$2,')
const total = lines.reduce((sum, [, amount]) => sum + amount, 0)
p.page('Kostenvoranschlag.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:18mm}body{font:10pt 'Liberation Serif'}ol{padding-left:20px}li{margin:6px 0}li span{float:right}.b{border:1px solid #000;padding:6px;columns:2}</style>
<h2>Kostenvoranschlag / Estimate</h2><div class="b">Datum / Date: 12.06.2026<br>Schadentag / Date of loss: 10.06.2026<br>Schadennummer / Claim no.: ${claimNumber}<br>Auftrag / Order no.: ${jobNumber}<br>FIN / VIN: ${vin}<br>Kennzeichen / Plate: ${plate}</div>
<ol>${lines.map(([text, amount]) => `<li>${escape(text)} <span>${euro(amount)} €</span></li>`).join('')}</ol><p style="text-align:right"><b>Summe / Total ${euro(total)} €</b></p>`,
{ made: '2026-06-12T16:20:00+02:00', by: 'Schreibtisch' },
{ kind: 'estimate', vin, plate, jobNumber, claimNumber, date: { local: '2026-06-12' }, operations: lines.map(([text, amount]) => ({ text, amount })), pages: 1 })
p.page('Rechnung.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:18mm}body{font:10pt 'URW Gothic'}table{width:100%;border-collapse:collapse}td,th{text-align:left;padding:4px;border-bottom:1px dotted #888;vertical-align:top}.n{text-align:right;white-space:nowrap}</style>
<h2>Rechnung / Invoice R-26-1190</h2><p>Datum / Date: 18.06.2026 &nbsp;|&nbsp; Auftrag / Order no.: ${jobNumber} &nbsp;|&nbsp; Schadennummer / Claim no.: ${claimNumber}<br>FIN / VIN: ${vin} &nbsp;|&nbsp; Kennzeichen / Plate: ${plate} &nbsp;|&nbsp; Kilometerstand / Odometer: ${thousands(kmOut)} km</p>
<table><tr><th style="width:62%">Leistung / Description</th><th class="n">Menge / Qty</th><th class="n">Einzel / Unit price</th><th class="n">Betrag / Amount</th></tr>${lines.map(([text, amount]) => `<tr><td style="max-width:60mm">${escape(text)}</td><td class="n">1</td><td class="n">${euro(amount)}</td><td class="n">${euro(amount)}</td></tr>`).join('')}<tr><td></td><td></td><td class="n"><b>Summe / Total EUR</b></td><td class="n"><b>${euro(total)}</b></td></tr></table>
<p>Fahrzeug geprüft und freigegeben / vehicle checked and released: 18.06.2026 09:00, Tammo Reiners (Qualitätskontrolle / quality control)</p>`,
{ made: '2026-06-18T09:10:00+02:00', by: 'Schreibtisch' },
{ kind: 'invoice', vin, plate, jobNumber, claimNumber, date: { local: '2026-06-18' }, odometer: { value: kmOut, unit: 'km' }, operations: lines.map(([text, amount]) => ({ text, amount })), pages: 1 })
p.page('Fremdrechnung Achse.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A5;margin:14mm}body{font:9.5pt 'Nimbus Sans Narrow'}</style>
<p><b>Spurhof Ettrich</b></p><p>An / To: Werkstatt Lindgrund</p><h3>Rechnung / Invoice 4471 &mdash; Fremdleistung / sublet work</h3><p>Datum / Date: 16.06.2026</p><p>Ihr Auftrag / Your order no.: ${jobNumber}</p><p>FIN / VIN: ${vin}</p><p>Für die Achsvermessung Ihres Fahrzeugs / for the wheel alignment of your vehicle we charge:</p><p>1 x Achsvermessung mit Einstellung / Wheel alignment with adjustment ........ 95,00 €</p><p>Summe / Total ........ 95,00 €</p>`,
{ made: '2026-06-16T16:30:00+02:00', by: 'Spurhof' },
{ kind: 'invoice', vin, jobNumber, date: { local: '2026-06-16' }, operations: [{ text: 'Achsvermessung mit Einstellung / Wheel alignment with adjustment', amount: 95 }], pages: 1 })
p.end({ note: 'Front bumper, radar, tie rod. Bilingual labels, metric, a fixed-width printout, a landscape table with rowspans, a letter, NMEA. All consistent.' })
