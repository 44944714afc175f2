/** p03. Windshield and right mirror in Quebec: the last scan is from before the end of the camera drive, a code is left, one VIN is misspelt. */
import { clock, drive, escape, measure, packet, vinOf } from './lib.mjs'

const p = packet('p03')
const vin = vinOf('7XPG8WC2_PK558140')
const odd = vin.replace('558140', '553140')
const car = { vin, vehicle: { year: 2023, make: 'Pellerine', model: 'Aubade' } }
const [plate, jobNumber, claimNumber] = ['G44 RKT', 'BT-71820', '2026-AQ-30551']
const road = drive({ way: [[0, 0], [200, -10, 9], [210, -800, 13, 26], [2600, -900, 18, 12], [2700, -4800, 25], [7600, -5200, 27], [7900, -700, 25], [3500, -600, 22], [210, -350, 13, 20], [200, -10, 10], [0, 0, 7]], at: [46.3402, -72.5518], started: '2026-04-24T14:19:05Z', seed: 33 })
const log = measure(road)
const begin = clock(road[0].time, -4)
const seconds = log.durationSeconds - 70
const end = clock(new Date(road[0].time.getTime() + seconds * 1000), -4)
const kmOut = 61208 + Math.ceil(log.distanceMetres / 1000)
const french = (value) => String(value).replace(/(\d)(\d{3})$/, '$1 $2')

const modules = ['Moteur / Engine', 'Boîte de vitesses / Transmission', 'Freins / Brakes', 'Direction / Steering', 'Coussins gonflables / Airbags', 'Carrosserie / Body', 'Caméra avant / Front camera', 'Vue périphérique / Surround view', 'Porte droite / Right door', 'Tableau de bord / Cluster']
function scan({ file, title, date, local, volts, km, found, kind, made }) {
  const rows = modules.map((name) => {
    const mine = found.filter((one) => one.module === name)
    const state = mine.length ? 'Défaut / Fault' : 'Correct / No fault'
    if (!mine.length) return `<tr><td>${name}</td><td>${state}</td><td></td><td></td><td></td></tr>`
    return mine.map((c, at) => `<tr>${at ? '' : `<td rowspan="${mine.length}">${name}</td><td rowspan="${mine.length}">${state}</td>`}<td>${c.code}-${c.failureType}</td><td>${c.word}</td><td>${escape(c.text)}</td></tr>`).join('')
  })
  p.page(file, `<!doctype html><meta charset="utf-8"><style>@page{size:letter landscape;margin:12mm}body{font:9pt 'Liberation Sans'}h1{font-size:14pt;background:#1d3557;color:#fff;padding:4px 8px;margin:0}table{border-collapse:collapse;width:100%;margin-top:7px}td,th{border:1px solid #667;padding:2px 5px}th{background:#dfe6ee;text-align:left}.k td:nth-child(odd){color:#556;width:15%}td:nth-child(5){max-width:60mm}</style>
<h1>${title}</h1><table class="k"><tr><td>NIV / VIN</td><td>${vin}</td><td>Date et heure / Date and time</td><td>${date}</td></tr><tr><td>Véhicule / Vehicle</td><td>Pellerine Aubade 2023</td><td>Kilométrage / Odometer</td><td>${french(km)} km</td></tr><tr><td>Plaque / Plate</td><td>${plate}</td><td>Bon de travail / Work order</td><td>${jobNumber}</td></tr><tr><td>Technicien / Technician</td><td>Solange Brisebois</td><td>Tension batterie / Battery voltage</td><td>${String(volts).replace('.', ',')} V</td></tr><tr><td>Appareil / Tool</td><td>Ondine Lecteur 6</td><td>N° de série de l’appareil / Tool serial no.</td><td>OL6-55290</td></tr><tr><td>Version logicielle / Software version</td><td>2.9.4</td><td>Total des codes / Total codes</td><td>${found.length}</td></tr></table>
<table><tr><th style="width:24%">Module</th><th style="width:15%">État / State</th><th style="width:10%">Code</th><th style="width:14%">Statut / Status</th><th>Description</th></tr>${rows.join('')}</table>`,
  { made, by: 'Ondine Lecteur 6' },
  { kind, ...car, plate, jobNumber, date: { local }, odometer: { value: km, unit: 'km' }, batteryVolts: volts, technician: 'Solange Brisebois', instrument: { serial: 'OL6-55290', software: '2.9.4' }, pages: 1,
    modules: modules.map((name) => ({ name, state: found.some((one) => one.module === name) ? 'fault' : 'no-fault' })), codes: found.map(({ word, text, ...code }) => code), statedCodeCount: found.length })
}
const mirror = { module: 'Vue périphérique / Surround view', code: 'B10D5', failureType: '13', status: 'active', word: 'Actif / Active', text: 'Caméra du rétroviseur droit, circuit ouvert / Right mirror camera, circuit open' }
scan({ file: 'balayage avant.pdf', title: 'Balayage avant réparation / Pre-repair scan', date: '2026-04-21 09 h 05', local: '2026-04-21T09:05', volts: 12.7, km: 61207, kind: 'pre-scan', made: '2026-04-21T09:09:00-04:00', found: [{ module: 'Caméra avant / Front camera', code: 'C1B40', failureType: '97', status: 'active', word: 'Actif / Active', text: 'Champ de vision obstrué / View obstructed' }, mirror, { module: 'Vue périphérique / Surround view', code: 'B10D6', failureType: '54', status: 'stored', word: 'Mémorisé / Stored', text: 'Étalonnage absent / Calibration missing' }] })
scan({ file: 'balayage apres.pdf', title: 'Balayage après réparation / Post-repair scan', date: '2026-04-24 10 h 12', local: '2026-04-24T10:12', volts: 13.0, km: 61208, kind: 'post-scan', made: '2026-04-24T10:15:00-04:00', found: [mirror] })

const steps = [[0, 0], [240, 12], [560, 37], [880, 64], [1150, 88], [seconds, 100]]
p.page('camera avant route.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:letter;margin:15mm}body{font:10pt 'DejaVu Sans Condensed'}h1{font-size:15pt}dl{display:grid;grid-template-columns:auto 1fr auto 1fr;gap:3px 12px}dt{color:#666}dd{margin:0;font-weight:bold}.bar{height:14px;background:#2a9d8f;color:#fff;text-align:center;font-size:9pt}.s{display:grid;grid-template-columns:22mm 1fr 20mm;border-left:3px solid #2a9d8f;padding:3px 8px;margin:2px 0}</style>
<h1>Étalonnage dynamique, caméra avant<br>Dynamic calibration, front camera</h1><dl><dt>NIV / VIN</dt><dd>${vin}</dd><dt>Bon de travail / Work order</dt><dd>${jobNumber}</dd><dt>Plaque / Plate</dt><dd>${plate}</dd><dt>Kilométrage / Odometer</dt><dd>${french(kmOut)} km</dd><dt>Technicien / Technician</dt><dd>Solange Brisebois</dd><dt>Observateur / Observer</dt><dd>Réal Cantin</dd><dt>Début / Start</dt><dd>${begin.day} ${begin.time.replace(':', ' h ').replace(/:\d\d$/, '')}</dd><dt>Fin / End</dt><dd>${end.day} ${end.time.replace(':', ' h ').replace(/:\d\d$/, '')}</dd><dt>Appareil / Tool</dt><dd>Ondine Lecteur 6</dd><dt>N° de série / Serial no.</dt><dd>OL6-55290</dd><dt>Version logicielle / Software version</dt><dd>2.9.4</dd><dt>Procédure / Procedure</dt><dd>Pellerine PS-417, 2025-11-03</dd></dl>
<div class="bar">100 %</div><p><b>Résultat / Result: réussi / completed</b></p>
${steps.map(([at, percent], n) => `<div class="s"><span>${clock(new Date(road[0].time.getTime() + at * 1000), -4).time}</span><span>${['Départ / Start of run', 'Lignes détectées / Lane lines found', 'Apprentissage / Learning', 'Apprentissage / Learning', 'Vérification / Verifying', 'Terminé / Finished'][n]}</span><span>${percent} %</span></div>`).join('')}`,
{ made: `${end.day}T11:02:00-04:00`, by: 'Ondine Lecteur 6' },
{ kind: 'calibration', vin, plate, jobNumber, odometer: { value: kmOut, unit: 'km' }, technician: 'Solange Brisebois', instrument: { serial: 'OL6-55290', software: '2.9.4' }, pages: 1,
  calibrations: [{ sensor: 'front-camera', method: 'dynamic', outcome: 'completed', progressPercent: 100, started: { local: begin.local.slice(0, 16) }, ended: { local: end.local.slice(0, 16) } }] })

const cameras = [['Avant / Front', 0.4, -1.2], ['Arrière / Rear', 1.1, 0.6], ['Gauche / Left', -0.7, 0.9], ['Droite / Right', 0.2, -0.3]]
p.page('vue peripherique.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:letter;margin:15mm}body{font:10pt 'Nimbus Sans'}.g{display:grid;grid-template-columns:1fr 1fr;gap:10px}.q{border:2px solid #457b9d;padding:8px}.q h3{margin:0 0 4px}</style>
<h2>Étalonnage statique, caméras périphériques / Static calibration, surround cameras</h2>
<p>NIV / VIN: <b>${odd}</b> &nbsp; Plaque / Plate: <b>${plate}</b> &nbsp; Bon de travail / Work order: <b>${jobNumber}</b></p><p>Début / Start: 2026-04-23 15 h 20 &nbsp; Fin / End: 2026-04-23 15 h 48 &nbsp; Kilométrage / Odometer: 61 207 km</p><p>Technicien / Technician: Réal Cantin &nbsp; Appareil / Tool: Vasseur Tapis 4 &nbsp; N° de série / Serial no.: VT4-0217 &nbsp; Version logicielle / Software version: 1.6.0</p><p>Procédure / Procedure: Pellerine PS-420, 2025-11-03 &nbsp; Résultat / Result: réussi / completed</p>
<div class="g">${cameras.map(([name, yaw, pitch]) => `<div class="q"><h3>${name}</h3>Lacet / Yaw: ${yaw.toFixed(1)}° (min -3.0°, max 3.0°)<br>Tangage / Pitch: ${pitch.toFixed(1)}° (min -3.0°, max 3.0°)</div>`).join('')}</div><p>Tapis aligné / mats aligned ☑ &nbsp; Coffre vide / cargo area empty ☑ &nbsp; Chargeur branché / charger connected ☑</p>`,
{ made: '2026-04-23T15:55:00-04:00', by: 'Vasseur Tapis 4' },
{ kind: 'calibration', vin: odd, plate, jobNumber, odometer: { value: 61207, unit: 'km' }, technician: 'Réal Cantin', instrument: { serial: 'VT4-0217', software: '1.6.0' }, pages: 1,
  calibrations: [{ sensor: 'surround-camera', method: 'static', outcome: 'completed', started: { local: '2026-04-23T15:20' }, ended: { local: '2026-04-23T15:48' } }] })

p.text('trajet.csv', `heure_utc;latitude_deg;longitude_deg;vitesse_kmh;altitude_m;satellites\r\n${road.map((q) => `${q.time.toISOString().slice(0, 19)}Z;${q.lat.toFixed(6)};${q.lon.toFixed(6)};${(q.v * 3.6).toFixed(1)};${q.height.toFixed(1)};${q.satellites}`).join('\r\n')}\r\n`, { kind: 'drive-log', drive: log })

const lines = [['Balayage avant réparation / Pre-repair scan', 65], ['Remplacer le pare-brise / Replace windshield', 812.4], ['Remplacer le rétroviseur droit avec caméra / Replace right mirror with camera', 436], ['Étalonnage caméra avant, dynamique / Front camera dynamic calibration', 245], ['Étalonnage vue périphérique, statique / Surround camera static calibration', 295], ['Balayage après réparation / Post-repair scan', 65]]
const total = lines.reduce((sum, [, amount]) => sum + amount, 0)
p.text('soumission.txt', `De / From : Atelier Bois-Tordu <bureau@boistordu.example>
À / To : sinistres@assureur.example
Date : 2026-04-20 16:42 -0400
Objet / Subject : Soumission / Estimate ${jobNumber}

Bonjour / Hello,

voici notre soumission / here is our estimate:

  NIV / VIN : ${vin}
  Véhicule / Vehicle : Pellerine Aubade 2023
  Plaque / Plate : ${plate}
  Dossier / Claim no. : ${claimNumber}
  Date du sinistre / Date of loss : 2026-04-17

${lines.map(([text, amount], at) => `  ${at + 1}) ${text} : ${amount.toFixed(2)} $`).join('\n')}
     Total : ${total.toFixed(2)} $

Merci / Thank you
Réal Cantin
`, { kind: 'estimate', ...car, plate, jobNumber, claimNumber, date: { local: '2026-04-20T16:42', offset: '-04:00' }, operations: lines.map(([text, amount]) => ({ text, amount })) })
p.page('facture 71820.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:letter;margin:15mm}body{font:10pt 'P052'}.c{display:grid;grid-template-columns:64mm 1fr;gap:12mm}.l{border-right:1px solid #000;padding-right:6mm}.a p{margin:2px 0 9px}.a b{float:right}</style>
<h1>Facture / Invoice</h1><div class="c"><div class="l"><p>Atelier Bois-Tordu</p><p>Date<br><b>2026-04-24</b></p><p>Bon de travail / Work order<br><b>${jobNumber}</b></p><p>Dossier / Claim no.<br><b>${claimNumber}</b></p><p>NIV / VIN<br><b>${vin}</b></p><p>Plaque / Plate<br><b>${plate}</b></p><p>Kilométrage / Odometer<br><b>${french(kmOut)} km</b></p></div><div class="a">${lines.map(([text, amount]) => `<p>${escape(text)} <b>${amount.toFixed(2)} $</b></p>`).join('')}<p><b>Total ${total.toFixed(2)} $</b></p></div></div>`,
{ made: '2026-04-24T15:30:00-04:00', by: 'Bureau' },
{ kind: 'invoice', vin, plate, jobNumber, claimNumber, date: { local: '2026-04-24' }, odometer: { value: kmOut, unit: 'km' }, operations: lines.map(([text, amount]) => ({ text, amount })), pages: 1 })
p.end({ note: 'Windshield and right mirror. The post-scan is of 10:12, before the camera drive ended; it shows an active code; the surround record has 553140 for 558140 in its VIN.',
  expected: [{ check: 'post-scan-follows-calibration', verdict: 'fail', files: ['balayage apres.pdf', 'camera avant route.pdf'], why: 'scanned at 10:12, the drive ended after it' }, { check: 'no-faults-left', verdict: 'fail', files: ['balayage apres.pdf'], why: 'B10D5-13 active' }, { check: 'vin-agrees', verdict: 'fail', files: ['vue peripherique.pdf'], why: '553140 for 558140' }],
  allowed: ['vin-well-formed', 'no-work-after-post-scan', 'timeline-consistent', 'post-scan-present', 'no-calibration-faults-left'] })
