/** p05. Bumper and windshield in Spain: the last scan is the first under another heading, a value lies outside, the drive took 90 seconds. */
import { clock, drive, escape, measure, packet, vinOf } from './lib.mjs'

const p = packet('p05')
const vin = vinOf('7WSLN3FB_NT772051')
const car = { vin, vehicle: { year: 2022, make: 'Salvora', model: 'Lince' } }
const [plate, jobNumber, claimNumber] = ['4471 KZR', 'OT-5560', 'SIN-883-2026']
const road = drive({ way: [[0, 0], [60, 0, 8], [70, 520, 15], [40, 1400, 20]], at: [40.6105, -3.4402], started: '2026-03-12T10:02:00Z', seed: 55 }).slice(0, 91)
const log = measure(road)

const modules = ['Motor / Engine', 'Cambio / Transmission', 'Frenos / Brakes', 'Dirección / Steering', 'Airbag', 'Carrocería / Body', 'Radar delantero / Front radar', 'Cámara delantera / Front camera', 'Cuadro / Cluster', 'Aparcamiento / Parking']
const found = [{ module: 'Cámara delantera / Front camera', code: 'C1C20', failureType: '54', status: 'stored', word: 'memorizado / stored', text: 'Calibración ausente / Calibration missing' }, { module: 'Carrocería / Body', code: 'B1455', failureType: '12', status: 'stored', word: 'memorizado / stored', text: 'Sensor de lluvia / Rain sensor' }]
const scan = (file, title, kind, made) => p.page(file, `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:15mm}body{font:8.5pt 'Noto Mono'}h1{font-size:12pt;border:2px solid #000;padding:4px;text-align:center}.c{columns:2;column-rule:1px solid #000;column-gap:10mm}.b{break-inside:avoid;margin-bottom:7px}u{text-decoration:none;border-bottom:1px solid #000}</style>
<h1>${title}</h1><div class="c"><div class="b"><u>VEHÍCULO / VEHICLE</u><br>Bastidor / VIN:<br>${vin}<br>Modelo / Model: Salvora Lince 2022<br>Matrícula / Plate: ${plate}<br>Kilómetros / Odometer: 88.140 km<br>Batería / Battery: 12,6 V</div><div class="b"><u>TALLER / WORKSHOP</u><br>Orden / Work order: ${jobNumber}<br>Técnico / Technician: Nuria Belmar<br>Fecha / Date: 10/03/2026<br>Hora / Time: 09:25<br>Equipo / Tool: Tramuntana X2<br>N.º serie / Serial no.: TX2-00417<br>Versión / Software version: 4.0.8<br>Informe / Report no.: 118-204</div>
<div class="b"><u>CENTRALITAS / MODULES: ${modules.length}</u><br>Averías totales / Total codes: ${found.length}</div>
${modules.map((name) => { const mine = found.filter((one) => one.module === name); return `<div class="b">${name}: ${mine.length ? 'AVERÍA / FAULT' : 'CORRECTO / OK'}${mine.map((c) => `<br>&nbsp;&nbsp;${c.code}-${c.failureType} ${c.word}<br>&nbsp;&nbsp;${escape(c.text)}`).join('')}</div>` }).join('')}</div>`,
{ made, by: 'Tramuntana X2' },
{ kind, ...car, plate, jobNumber, date: { local: '2026-03-10T09:25' }, odometer: { value: 88140, unit: 'km' }, batteryVolts: 12.6, technician: 'Nuria Belmar', instrument: { serial: 'TX2-00417', software: '4.0.8' }, pages: 1,
  modules: modules.map((name) => ({ name, state: found.some((one) => one.module === name) ? 'fault' : 'no-fault' })), codes: found.map(({ word, text, ...code }) => code), statedCodeCount: found.length })
scan('escaneo previo.pdf', 'ESCANEO PREVIO / PRE-REPAIR SCAN', 'pre-scan', '2026-03-10T09:28:00+01:00')
scan('escaneo final.pdf', 'ESCANEO FINAL / POST-REPAIR SCAN', 'post-scan', '2026-03-12T12:40:00+01:00')

const readings = [['Ángulo horizontal / Horizontal angle', '-0.27', '-0.60', '0.60', 'deg', 'OK'], ['Ángulo vertical / Vertical angle', '1.34', '-1.00', '1.00', 'deg', 'OK'], ['Distancia al blanco / Target distance', '2201', '2190', '2210', 'mm', 'OK']]
p.page('radar delantero.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:12mm}pre{font:8.4pt/1.25 'Liberation Mono'}</style><pre>
+------------------------------------------------------------------------------------------+
| TRAMUNTANA BANCO B1               CALIBRACION ESTATICA / STATIC CALIBRATION      1 / 1    |
+---------------------------------------------+--------------------------------------------+
| BASTIDOR/VIN ${vin}              | MATRICULA/PLATE ${plate}                   |
| VEHICULO/VEHICLE Salvora Lince 2022         | ORDEN/WORK ORDER ${jobNumber}                   |
| KM/ODOMETER 88140 km                        | FECHA/DATE 11/03/2026                      |
| INICIO/START 16:05                          | FIN/END 16:29                              |
| TECNICO/TECHNICIAN Nuria Belmar             | N.SERIE/TOOL SERIAL TB1-3309               |
| VERSION/SOFTWARE 2.2.0                      | PROCEDIMIENTO/PROCEDURE SAL-311 2025-10-01 |
+---------------------------------------------+--------------------------------------------+
| SENSOR: Radar delantero / Front radar         SERIE/SENSOR SERIAL: SLR-90177-B            |
| RESULTADO/RESULT: COMPLETADA / COMPLETED      PROGRESO/PROGRESS: 100 %                    |
+----------------------------------------+----------+----------+----------+------+---------+
| VALOR / VALUE                          |   MEDIDO |      MIN |      MAX | UNID | ESTADO  |
|                                        | MEASURED |          |          | UNIT | STATE   |
+----------------------------------------+----------+----------+----------+------+---------+
${readings.map(([name, ...rest]) => `| ${name.padEnd(39)}|${rest.slice(0, 3).map((one) => one.padStart(9)).join(' |')} | ${rest[3].padEnd(5)}| ${rest[4].padEnd(8)}|`).join('\n')}
+----------------------------------------+----------+----------+----------+------+---------+
</pre>`, { made: '2026-03-11T16:33:00+01:00', by: 'Tramuntana Banco B1' },
{ kind: 'calibration', ...car, plate, jobNumber, date: { local: '2026-03-11' }, odometer: { value: 88140, unit: 'km' }, technician: 'Nuria Belmar', instrument: { serial: 'TB1-3309', software: '2.2.0' }, pages: 1,
  calibrations: [{ sensor: 'front-radar', method: 'static', outcome: 'completed', progressPercent: 100, serial: 'SLR-90177-B', started: { local: '2026-03-11T16:05' }, ended: { local: '2026-03-11T16:29' }, values: [{ name: 'Horizontal angle', value: -0.27 }, { name: 'Vertical angle', value: 1.34 }] }] })

p.text('camara ruta.txt', `[calibracion / calibration]
sensor = Cámara delantera / Front camera
metodo / method = dinámica / dynamic
inicio / start = 12-mar-2026 11:02:00 +01:00
fin / end = 12-mar-2026 11:03:30 +01:00
duracion / duration = 90 s
progreso / progress = 100 %
resultado / result = completada / completed
procedimiento / procedure = SAL-318, 2025-10-01

[vehiculo / vehicle]
bastidor / VIN = ${vin}
matricula / plate = ${plate}
kilometros / odometer = 88141 km
orden / work order = ${jobNumber}

[equipo / tool]
nombre / name = Tramuntana X2
numero de serie / serial number = TX2-00417
version / software version = 4.0.8
tecnico / technician = Nuria Belmar
observador / observer = Iker Salvat
`, { kind: 'calibration', vin, plate, jobNumber, odometer: { value: 88141, unit: 'km' }, technician: 'Nuria Belmar', instrument: { serial: 'TX2-00417', software: '4.0.8' },
  calibrations: [{ sensor: 'front-camera', method: 'dynamic', outcome: 'completed', progressPercent: 100, durationSeconds: 90, started: { local: '2026-03-12T11:02:00', offset: '+01:00' }, ended: { local: '2026-03-12T11:03:30', offset: '+01:00' } }] })

p.text('recorrido.csv', `epoch_ms,lat,lon,speed_kph,heading_deg\n${road.map((q, i) => { const next = road[Math.min(i + 1, 90)]; return [q.time.getTime(), q.lat.toFixed(7), q.lon.toFixed(7), (q.v * 3.6).toFixed(2), ((Math.atan2(next.east - q.east, next.north - q.north) * 180 / Math.PI + 360) % 360).toFixed(0)].join(',') }).join('\n')}\n`, { kind: 'drive-log', drive: log })

const lines = [['Escaneo previo / Pre-repair scan', 50], ['Paragolpes delantero, sustituir / Front bumper cover, replace', 533.2], ['Parabrisas, sustituir / Windshield, replace', 611], ['Calibración radar delantero, estática / Front radar calibration, static', 210], ['Calibración cámara delantera, dinámica / Front camera calibration, dynamic', 180], ['Escaneo final / Post-repair scan', 50]]
const total = lines.reduce((sum, [, amount]) => sum + amount, 0)
const quoted = (text) => `"${text}"`
p.text('presupuesto.csv', `${[['Presupuesto / Estimate', 'Taller Peñalba'], ['Fecha / Date', '2026-03-09'], ['Bastidor / VIN', vin], ['Matrícula / Plate', plate], ['Orden / Work order', jobNumber], ['Siniestro / Claim no.', claimNumber], ['Fecha del siniestro / Date of loss', '2026-03-06']].map((cells) => cells.map(quoted).join(',')).join('\r\n')}\r\n\r\n"Línea / Line","Concepto / Description","Importe / Amount EUR"\r\n${lines.map(([text, amount], at) => `${at + 1},${quoted(text)},${amount.toFixed(2)}`).join('\r\n')}\r\n,"Total",${total.toFixed(2)}\r\n`,
  { kind: 'estimate', vin, plate, jobNumber, claimNumber, date: { local: '2026-03-09' }, operations: lines.map(([text, amount]) => ({ text, amount })) })
const euro = (amount) => amount.toFixed(2).replace('.', ',').replace(/(\d)(\d{3}),/, '$1.$2,')
p.page('factura.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:17mm}body{font:10pt 'URW Bookman'}.t{display:flex;justify-content:space-between}.k{border:1px solid #999;border-radius:5px;padding:6px 9px;width:44%}.o{display:grid;grid-template-columns:1fr 26mm;border-top:1px solid #ccc;padding:4px 0}.o b{text-align:right}</style>
<h2>Factura / Invoice F-2026-0391</h2><div class="t"><div class="k">Taller Peñalba<br>Fecha / Date: 13 de marzo de 2026 / 13 March 2026<br>Orden / Work order: ${jobNumber}</div><div class="k">Siniestro / Claim no.: ${claimNumber}<br>Bastidor / VIN: ${vin}<br>Matrícula / Plate: ${plate}<br>Kilómetros / Odometer: 88.141 km</div></div><br>${lines.map(([text, amount]) => `<div class="o"><span>${escape(text)}</span><b>${euro(amount)} €</b></div>`).join('')}<div class="o"><span>Total</span><b>${euro(total)} €</b></div>`,
{ made: '2026-03-13T10:00:00+01:00', by: 'Oficina' },
{ kind: 'invoice', vin, plate, jobNumber, claimNumber, date: { local: '2026-03-13' }, odometer: { value: 88141, unit: 'km' }, operations: lines.map(([text, amount]) => ({ text, amount })), pages: 1 })
p.text('packet.yaml', `packet: 1\nzone: Europe/Madrid\njob: ${jobNumber}\nintake: 2026-03-10T08:45\nrelease: 2026-03-13T12:00\n`)
p.end({ note: 'Bumper and windshield. Vertical angle 1.34 outside -1.00 to 1.00; a camera drive of 90 s; the post-scan is the pre-scan of 10 March under another heading.',
  expected: [{ check: 'values-within-limits', verdict: 'fail', files: ['radar delantero.pdf'], why: '1.34 of at most 1.00' }, { check: 'drive-duration-plausible', verdict: 'fail', files: ['camara ruta.txt'], why: '90 s' }, { check: 'scan-not-reused', verdict: 'fail', files: ['escaneo final.pdf'], why: 'report 118-204 of 10 March twice' }],
  allowed: ['post-scan-follows-calibration', 'no-work-after-post-scan', 'timeline-consistent', 'post-scan-present', 'post-scan-fresh', 'no-calibration-faults-left', 'no-faults-left', 'prior-faults-explained', 'events-do-not-overlap', 'calibration-completed', 'printed-after-event', 'drive-speed-in-band', 'sensor-angle-set'] })
