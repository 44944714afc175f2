/** p04. Spanish throughout: a rear bumper and both rear corner radars; two records side by side, a log of key=value, a budget as CSV. */
import { vinOf } from '../../e/make/lib.mjs'
import { packet } from './press.mjs'

const p = packet('p04')
const vin = vinOf('7VSMC1DK_PA907733')
const car = { vin, plate: '8826 LTX' }
const [jobNumber, claimNumber] = ['OR-90118', 'EXP-2026-3307']
const names = ['Motor', 'Frenos', 'Dirección', 'Airbag', 'Radar trasero izquierdo', 'Radar trasero derecho', 'Cámara trasera', 'Cuadro de instrumentos']
const scan = ({ file, title, when, local, km, volts, found, kind }) =>
  p.text(file, `# ${title}
bastidor=${vin}
matricula=8826 LTX
orden=${jobNumber}
fecha=${when}
kilometros=${km}
bateria=${volts}
tecnico=Leocadia Prats
equipo=Garbí T4
numero_de_serie=GT4-5567
version=2.12

${names.map((name, at) => `[${at + 1}] ${name.padEnd(28)} ${found.some((one) => one.module === name) ? 'CON FALLOS' : 'SIN FALLOS'}${found.filter((one) => one.module === name).map((one) => `\n       ${one.code}-${one.failureType}  ${one.text}  (${one.word})`).join('')}`).join('\n')}

fallos_totales=${found.length}
`, { kind, ...car, jobNumber, date: { local }, odometer: { value: km, unit: 'km' }, batteryVolts: volts, technician: 'Leocadia Prats', instrument: { serial: 'GT4-5567', software: '2.12' }, modules: names.map((name) => ({ name, state: found.some((one) => one.module === name) ? 'fault' : 'no-fault' })), codes: found.map(({ word, text, ...code }) => code), statedCodeCount: found.length })
scan({ file: 'diagnosis entrada.txt', title: 'DIAGNOSIS PREVIA A LA REPARACIÓN', when: '2 de marzo de 2026 10:20', local: '2026-03-02T10:20', km: 44710, volts: 12.3, kind: 'pre-scan', found: [{ module: 'Radar trasero izquierdo', code: 'C1D07', failureType: '49', status: 'active', word: 'presente', text: 'Fallo interno del sensor' }] })
scan({ file: 'diagnosis salida.txt', title: 'DIAGNOSIS POSTERIOR A LA REPARACIÓN', when: '5 de marzo de 2026 12:48', local: '2026-03-05T12:48', km: 44711, volts: 12.9, kind: 'post-scan', found: [] })
const side = (name, serial, from, to, h, v) => `<div class="c"><h3>${name}</h3><p>Número de serie: ${serial}</p><p>Método: estático</p><p>Inicio: ${from}</p><p>Fin: ${to}</p><p>Resultado: completado</p><table><tr><th>Valor</th><th>Medido</th><th>Mínimo</th><th>Máximo</th></tr><tr><td>Horizontal</td><td>${h}</td><td>-1,50</td><td>1,50</td></tr><tr><td>Vertical</td><td>${v}</td><td>-1,20</td><td>1,20</td></tr></table></div>`
p.page('calibracion radares.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:15mm}body{font:10pt 'Liberation Sans'}.r{display:grid;grid-template-columns:1fr 1fr;gap:14mm}.c{border:1px solid #777;padding:6px}.c p{margin:2px 0}th,td{padding:1px 6px;text-align:left}</style>
<h1>Informe de calibración</h1><p>Bastidor: ${vin} &nbsp;&nbsp;&nbsp;&nbsp; Matrícula: 8826 LTX &nbsp;&nbsp;&nbsp;&nbsp; Orden: ${jobNumber}</p><p>Fecha: 5 de marzo de 2026 &nbsp;&nbsp;&nbsp;&nbsp; Kilómetros: 44.710 km &nbsp;&nbsp;&nbsp;&nbsp; Técnico: Leocadia Prats</p><p>Equipo: Garbí Banco &nbsp;&nbsp;&nbsp;&nbsp; Número de serie del equipo: GB-0091 &nbsp;&nbsp;&nbsp;&nbsp; Versión: 6.0</p><p>Procedimiento: Salmera CR-4410, edición 3</p>
<div class="r">${side('Radar trasero izquierdo', 'SM-7710-441', '11:05', '11:22', '0,41', '-0,18')}${side('Radar trasero derecho', 'SM-7710-387', '11:30', '11:46', '-0,52', '0,09')}</div>`,
{ made: '2026-03-05T11:50:00+01:00', by: 'Garbí Banco' },
{ kind: 'calibration', ...car, jobNumber, odometer: { value: 44710, unit: 'km' }, technician: 'Leocadia Prats', instrument: { serial: 'GB-0091', software: '6.0' }, pages: 1, calibrations: [
  { sensor: 'corner-radar', position: 'left', method: 'static', outcome: 'completed', serial: 'SM-7710-441', started: { local: '2026-03-05T11:05' }, ended: { local: '2026-03-05T11:22' }, values: [{ name: 'Horizontal', value: 0.41 }, { name: 'Vertical', value: -0.18 }] },
  { sensor: 'corner-radar', position: 'right', method: 'static', outcome: 'completed', serial: 'SM-7710-387', started: { local: '2026-03-05T11:30' }, ended: { local: '2026-03-05T11:46' }, values: [{ name: 'Horizontal', value: -0.52 }, { name: 'Vertical', value: 0.09 }] }] })
const lines = [['Diagnosis previa', 45], ['Paragolpes trasero, sustituir', 418.6], ['Radar trasero izquierdo, sustituir', 503.15], ['Calibración radar trasero izquierdo', 120], ['Calibración radar trasero derecho', 120], ['Diagnosis posterior', 45]]
const euro = (n) => n.toFixed(2).replace('.', ',').replace(/(\d)(?=(\d{3})+,)/g, '$1.')
const operations = lines.map(([text, amount]) => ({ text, amount }))
const sum = lines.reduce((s, [, n]) => s + n, 0)
p.text('presupuesto.csv', `Presupuesto;P-2207\nFecha;26/02/2026\nBastidor;${vin}\nMatrícula;8826 LTX\nOrden;${jobNumber}\nExpediente;${claimNumber}\nKilómetros;44.702\n\nConcepto;Cantidad;Precio;Importe\n${lines.map(([text, n]) => `"${text}";1;${euro(n)};${euro(n)}`).join('\n')}\nTotal;;;${euro(sum)}\n`, { kind: 'estimate', ...car, jobNumber, claimNumber, date: { local: '2026-02-26' }, odometer: { value: 44702, unit: 'km' }, operations })
p.page('factura.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:18mm}body{font:10pt 'DejaVu Sans Condensed'}table{width:100%;border-collapse:collapse}td,th{border-bottom:1px solid #bbb;padding:3px;text-align:left}td:last-child,th:last-child{text-align:right}</style><h1>Factura F-448</h1><p>Taller Ribalta &nbsp; Fecha de factura: 6 de marzo de 2026</p><p>Orden: ${jobNumber}</p><p>Expediente: ${claimNumber}</p><p>Bastidor: ${vin}</p><p>Matrícula: 8826 LTX</p><p>Kilómetros: 44.711 km</p><table><tr><th>Concepto</th><th>Importe</th></tr>${lines.map(([text, n]) => `<tr><td>${text}</td><td>${euro(n)} €</td></tr>`).join('')}<tr><td>Total</td><td>${euro(sum)} €</td></tr></table>`,
{ made: '2026-03-06T10:00:00+01:00', by: 'Ribalta' }, { kind: 'invoice', ...car, jobNumber, claimNumber, date: { local: '2026-03-06' }, odometer: { value: 44711, unit: 'km' }, operations, pages: 1 })
p.text('packet.yaml', 'packet: 1\nzone: Europe/Madrid\nintake: 2026-03-02T10:00\nrelease: 2026-03-06\n')
p.end({ note: 'Rear bumper and both rear corner radars. All consistent.' })
