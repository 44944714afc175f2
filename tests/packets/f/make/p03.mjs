/** p03. French throughout: a windscreen and the camera learnt on the road; XML by attributes, a table of values with limits in one cell, a track as CSV. */
import { clock, drive, measure, vinOf } from '../../e/make/lib.mjs'
import { packet } from './press.mjs'

const p = packet('p03')
const vin = vinOf('7XRVE6AB_TL330178')
const car = { vin, vehicle: { year: 2026 }, plate: 'FB-418-QN' }
const [jobNumber, claimNumber] = ['OR-4471', 'S26-118-902']
const road = drive({ way: [[0, 0], [150, 0, 9], [160, 900, 13, 22], [3100, 1000, 22], [3200, 5200, 26], [8100, 5400, 27], [8000, 900, 25], [160, 850, 17, 15], [150, 0, 9], [0, 0, 7]], at: [47.2104, 1.8802], started: '2026-06-09T08:31:10Z', seed: 61 })
const log = measure(road)
const [begin, end] = [clock(new Date(road[0].time.getTime() + 30_000), 2), clock(new Date(road[0].time.getTime() + (log.durationSeconds - 45) * 1000), 2)]
const names = ['Gestion moteur', 'Boîte de vitesses', 'Freinage ABS', 'Direction assistée', 'Coussins gonflables', 'Caméra frontale', 'Tableau de bord']
const scan = ({ file, title, day, time, km, volts, found, kind }) =>
  p.text(file, `<?xml version="1.0" encoding="UTF-8"?>
<diagnostic titre="${title}" ordre="${jobNumber}">
 <vehicule numeroDeChassis="${vin}" immatriculation="FB-418-QN" marque="Rivoire" modele="Elan" annee="2026" kilometrage="${km} km"/>
 <appareil nom="Lyra Sonde" numeroDeSerie="LS-77120" logiciel="5.6.1"/>
 <mesure date="${day}" heure="${time}" tensionBatterie="${volts} V" technicien="Yvonne Carpiaux"/>
 <calculateurs>
${names.map((name) => `  <calculateur nom="${name}" etat="${found.some((one) => one.module === name) ? 'défaut' : 'aucun défaut'}">${found.filter((one) => one.module === name).map((one) => `<defaut code="${one.code}-${one.failureType}" statut="${one.word}" libelle="${one.text}"/>`).join('')}</calculateur>`).join('\n')}
 </calculateurs>
 <nombreDeDefauts>${found.length}</nombreDeDefauts>
</diagnostic>
`, { kind, ...car, jobNumber, date: { local: `${day.split('/').reverse().join('-')}T${time}` }, odometer: { value: km, unit: 'km' }, batteryVolts: volts, technician: 'Yvonne Carpiaux', instrument: { serial: 'LS-77120', software: '5.6.1' }, modules: names.map((name) => ({ name, state: found.some((one) => one.module === name) ? 'fault' : 'no-fault' })), codes: found.map(({ word, text, ...code }) => code), statedCodeCount: found.length })
scan({ file: 'diagnostic avant réparation.xml', title: 'Diagnostic avant réparation', day: '08/06/2026', time: '09:14', km: 8812, volts: 12.6, kind: 'pre-scan', found: [{ module: 'Caméra frontale', code: 'B12F4', failureType: '54', status: 'active', word: 'présent', text: 'étalonnage manquant' }] })
scan({ file: 'diagnostic après réparation.xml', title: 'Diagnostic après réparation', day: '09/06/2026', time: '14:05', km: 8850, volts: 12.8, kind: 'post-scan', found: [] })
p.page('calibrage camera.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:16mm}body{font:10pt 'Liberation Sans'}h2{border-left:6px solid #264653;padding-left:8px}td{padding:2px 10px 2px 0}</style>
<h2>Compte rendu de calibrage</h2><p>Capteur : <b>caméra frontale</b> — Méthode : <b>dynamique</b> — Résultat : <b>réussi</b> (100 %)</p>
<table><tr><td>N° de châssis</td><td>: ${vin}</td></tr><tr><td>Immatriculation</td><td>: FB-418-QN</td></tr><tr><td>Ordre de réparation</td><td>: ${jobNumber}</td></tr><tr><td>Kilométrage</td><td>: 8 850 km</td></tr><tr><td>Début</td><td>: le 9 juin 2026 à ${begin.time.slice(0, 5).replace(':', ' h ')}</td></tr><tr><td>Fin</td><td>: le 9 juin 2026 à ${end.time.slice(0, 5).replace(':', ' h ')}</td></tr><tr><td>Technicien</td><td>: Yvonne Carpiaux</td></tr><tr><td>Observateur</td><td>: Basile Quentin</td></tr><tr><td>Appareil</td><td>: Lyra Sonde</td></tr><tr><td>N° de série de l’appareil</td><td>: LS-77120</td></tr><tr><td>Version du logiciel</td><td>: 5.6.1</td></tr><tr><td>Méthode constructeur</td><td>: Rivoire MR-614 du 12/01/2026</td></tr></table>
<h3>Valeurs relevées</h3><table><tr><td>Tangage</td><td>0,35° (tolérance -1,50° à 1,50°)</td></tr><tr><td>Lacet</td><td>-0,62° (tolérance -2,00° à 2,00°)</td></tr></table>`,
{ made: '2026-06-09T13:00:00+02:00', by: 'Lyra Sonde' },
{ kind: 'calibration', vin, plate: car.plate, jobNumber, odometer: { value: 8850, unit: 'km' }, technician: 'Yvonne Carpiaux', instrument: { serial: 'LS-77120', software: '5.6.1' }, pages: 1, calibrations: [{ sensor: 'front-camera', method: 'dynamic', outcome: 'completed', progressPercent: 100, started: { local: begin.local.slice(0, 16) }, ended: { local: end.local.slice(0, 16) }, values: [{ name: 'Tangage', value: 0.35 }, { name: 'Lacet', value: -0.62 }] }] })
p.text('trajet.csv', `Horodatage UTC;Latitude;Longitude;Vitesse (km/h)\r\n${road.map((q) => `${q.time.toISOString().slice(0, 19).replace('T', ' ')};${q.lat.toFixed(6).replace('.', ',')};${q.lon.toFixed(6).replace('.', ',')};${(q.v * 3.6).toFixed(1).replace('.', ',')}`).join('\r\n')}\r\n`, { kind: 'drive-log', drive: log })
const lines = [['Diagnostic avant réparation', 58], ['Remplacement du pare-brise', 724.9], ['Calibrage dynamique de la caméra frontale', 195], ['Diagnostic après réparation', 58]]
const euro = (n) => n.toFixed(2).replace('.', ',')
const operations = lines.map(([text, amount]) => ({ text, amount }))
const paper = (title, date, km, label) => `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:18mm}body{font:10pt 'DejaVu Serif'}table{width:100%}td:last-child{text-align:right}</style><h1>${title}</h1><p>Atelier Grandbois</p><p>${label} : ${date}<br>Ordre de réparation : ${jobNumber}<br>N° de sinistre : ${claimNumber}<br>N° de châssis : ${vin}<br>Immatriculation : FB-418-QN<br>Kilométrage : ${km} km</p><table>${lines.map(([text, n]) => `<tr><td>${text}</td><td>${euro(n)} €</td></tr>`).join('')}<tr><td>Total TTC</td><td>${euro(lines.reduce((s, [, n]) => s + n, 0))} €</td></tr></table>`
p.page('devis.pdf', paper('Devis n° 1180', '4 juin 2026', '8 801', 'Date du devis'), { made: '2026-06-04T10:00:00+02:00', by: 'Grandbois' }, { kind: 'estimate', vin, plate: car.plate, jobNumber, claimNumber, date: { local: '2026-06-04' }, odometer: { value: 8801, unit: 'km' }, operations, pages: 1 })
p.page('facture.pdf', paper('Facture n° 2209', '10 juin 2026', '8 850', 'Date de facture'), { made: '2026-06-10T10:00:00+02:00', by: 'Grandbois' }, { kind: 'invoice', vin, plate: car.plate, jobNumber, claimNumber, date: { local: '2026-06-10' }, odometer: { value: 8850, unit: 'km' }, operations, pages: 1 })
p.text('packet.yaml', 'packet: 1\nzone: Europe/Paris\nintake: 2026-06-08T09:00\nrelease: 2026-06-10\n')
p.end({ note: 'Windscreen, camera on the road. All consistent.' })
