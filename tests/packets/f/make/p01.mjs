/** p01. German throughout: a front radar renewed and set up on the stand. Key and value in columns, CSV with a head, an offer in a letter. */
import { vinOf } from '../../e/make/lib.mjs'
import { packet } from './press.mjs'

const p = packet('p01')
const vin = vinOf('7YKBD5EH_RN118204')
const car = { vin, vehicle: { year: 2024, make: 'Brandow', model: 'Heide' }, plate: 'UE-KT 731' }
const [jobNumber, claimNumber] = ['W-2611', 'HKV-559120']
const names = ['Motorsteuerung', 'Getriebesteuerung', 'Bremsregelung', 'Lenkhilfe', 'Airbag', 'Radar vorne', 'Frontkamera', 'Kombiinstrument', 'Einparkhilfe']
const scan = ({ file, title, when, local, km, volts, found, kind }) => {
  const rows = names.map((name, at) => `${at + 1};${name};${found.some((one) => one.module === name) ? 'Fehler gespeichert' : 'kein Fehler'};${found.filter((one) => one.module === name).length}`)
  const codes = found.map((one) => `${one.module};${one.code}-${one.failureType};${one.text};${one.word}`)
  p.text(file, `\uFEFF${title};\r\nFahrgestellnummer;${vin}\r\nAmtliches Kennzeichen;UE-KT 731\r\nFahrzeug;Brandow Heide, Baujahr 2024\r\nAuftragsnummer;${jobNumber}\r\nDatum und Uhrzeit;${when}\r\nKilometerstand;${km} km\r\nBatteriespannung;${volts} V\r\nBearbeiter;Hella Wittmack\r\nGerät;Tastwerk 900\r\nGerätenummer;TW9-40117\r\nProgrammstand;11.2.0\r\n\r\nNr.;Steuergerät;Zustand;Anzahl Fehler\r\n${rows.join('\r\n')}\r\n\r\n${codes.length ? `Steuergerät;Fehlercode;Fehlertext;Status\r\n${codes.join('\r\n')}\r\n\r\n` : ''}Gesamtzahl der Fehler;${found.length}\r\n`,
    { kind, ...car, jobNumber, date: { local }, odometer: { value: Number(km.replace('.', '')), unit: 'km' }, batteryVolts: Number(volts.replace(',', '.')), technician: 'Hella Wittmack', instrument: { serial: 'TW9-40117', software: '11.2.0' }, modules: names.map((name) => ({ name, state: found.some((one) => one.module === name) ? 'fault' : 'no-fault' })), codes: found.map(({ word, text, ...code }) => code), statedCodeCount: found.length })
}
scan({ file: 'Diagnose Annahme.csv', title: 'Eingangsdiagnose', when: '04.05.2026 08:12 Uhr', local: '2026-05-04T08:12', km: '61.204', volts: '12,5', kind: 'pre-scan', found: [{ module: 'Radar vorne', code: 'C1B12', failureType: '96', status: 'active', word: 'aktiv', text: 'Sensor defekt' }, { module: 'Einparkhilfe', code: 'B1402', failureType: '11', status: 'stored', word: 'gespeichert', text: 'Kurzschluss nach Masse' }] })
scan({ file: 'Diagnose Abgabe.csv', title: 'Abschlussdiagnose', when: '06.05.2026 15:47 Uhr', local: '2026-05-06T15:47', km: '61.205', volts: '13,1', kind: 'post-scan', found: [] })

p.page('Radarjustage.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:18mm}body{font:10pt 'Liberation Serif'}h1{font-size:16pt;text-align:center}dl{columns:2;column-gap:14mm}dt{font-size:8pt;color:#555;margin-top:5px}dd{margin:0;border-bottom:1px dotted #999}table{width:100%;border-collapse:collapse;margin-top:14px}th,td{border:1px solid #888;padding:3px 6px;text-align:right}th:first-child,td:first-child{text-align:left}</style>
<h1>Einstellprotokoll Radarsensor vorne</h1>
<dl><dt>Fahrgestellnummer</dt><dd>${vin}</dd><dt>Kennzeichen</dt><dd>UE-KT 731</dd><dt>Fahrzeug</dt><dd>Brandow Heide, Baujahr 2024</dd><dt>Auftragsnummer</dt><dd>${jobNumber}</dd><dt>Kilometerstand</dt><dd>61.204 km</dd><dt>Datum</dt><dd>6. Mai 2026</dd><dt>Beginn</dt><dd>14:02 Uhr</dd><dt>Ende</dt><dd>14:26 Uhr</dd><dt>Verfahren</dt><dd>statisch, mit Zieltafel</dd><dt>Seriennummer des Sensors</dt><dd>BR-RV-700311</dd><dt>Reparaturanleitung</dt><dd>Brandow 62-118, Stand 02/2026</dd><dt>Bearbeiter</dt><dd>Hella Wittmack</dd><dt>Messgerät</dt><dd>Tastwerk Rahmen 2</dd><dt>Gerätenummer</dt><dd>TWR-2207</dd><dt>Programmstand</dt><dd>3.4</dd><dt>Ergebnis</dt><dd>erfolgreich abgeschlossen</dd></dl>
<table><tr><th>Messgröße</th><th>Sollwert von</th><th>Sollwert bis</th><th>Istwert</th><th>Einheit</th><th>Bewertung</th></tr><tr><td>Winkel waagerecht</td><td>-0,80</td><td>0,80</td><td>0,12</td><td>Grad</td><td>in Ordnung</td></tr><tr><td>Winkel senkrecht</td><td>-1,00</td><td>1,00</td><td>-0,31</td><td>Grad</td><td>in Ordnung</td></tr><tr><td>Abstand der Tafel</td><td>2490</td><td>2510</td><td>2503</td><td>mm</td><td>in Ordnung</td></tr></table>
<p>Luftdruck geprüft, Tank voll, Ladegerät angeschlossen, Boden eben.</p>`,
{ made: '2026-05-06T14:30:00+02:00', by: 'Tastwerk Rahmen 2' },
{ kind: 'calibration', ...car, jobNumber, odometer: { value: 61204, unit: 'km' }, technician: 'Hella Wittmack', instrument: { serial: 'TWR-2207', software: '3.4' }, pages: 1,
  calibrations: [{ sensor: 'front-radar', method: 'static', outcome: 'completed', serial: 'BR-RV-700311', started: { local: '2026-05-06T14:02' }, ended: { local: '2026-05-06T14:26' }, values: [{ name: 'Winkel waagerecht', value: 0.12 }, { name: 'Winkel senkrecht', value: -0.31 }, { name: 'Abstand der Tafel', value: 2503 }] }] })

const lines = [['Eingangsdiagnose', 65], ['Stoßfänger vorne ersetzen', 688.4], ['Radarsensor vorne ersetzen', 1240], ['Radarsensor vorne einstellen (statische Kalibrierung)', 230], ['Abschlussdiagnose', 65]]
const euro = (n) => n.toFixed(2).replace('.', ',').replace(/(\d)(?=(\d{3})+,)/g, '$1.')
const total = lines.reduce((sum, [, n]) => sum + n, 0)
const operations = lines.map(([text, amount]) => ({ text, amount }))
p.text('Kostenvoranschlag.txt', `Karosseriebau Ebsen
An der Wiese 9

Kostenvoranschlag Nr. 2026-771                       Datum: 30. April 2026

Fahrgestellnummer:     ${vin}
Kennzeichen:           UE-KT 731
Auftragsnummer:        ${jobNumber}
Schadennummer:         ${claimNumber}
Schadentag:            27. April 2026
Kilometerstand:        61.198 km

Pos.  Leistung                                                    Betrag
----------------------------------------------------------------------------
${lines.map(([text, n], at) => `${String(at + 1).padEnd(6)}${text.padEnd(56)}${`${euro(n)} EUR`.padStart(14)}`).join('\n')}
----------------------------------------------------------------------------
      ${'Gesamtbetrag'.padEnd(56)}${`${euro(total)} EUR`.padStart(14)}
`, { kind: 'estimate', vin, plate: car.plate, jobNumber, claimNumber, date: { local: '2026-04-30' }, odometer: { value: 61198, unit: 'km' }, operations })
p.page('Rechnung.pdf', `<!doctype html><meta charset="utf-8"><style>@page{size:A4;margin:20mm}body{font:10.5pt 'DejaVu Sans'}.o{display:flex;justify-content:space-between}table{width:100%;border-collapse:collapse}td,th{padding:4px;text-align:left;border-bottom:1px solid #ccc}td:nth-child(n+3),th:nth-child(n+3){text-align:right}</style>
<div class="o"><div><b>Karosseriebau Ebsen</b><br>An der Wiese 9</div><div>Rechnung 26-0915<br>Rechnungsdatum: 07.05.2026<br>Auftragsnummer: ${jobNumber}<br>Schadennummer: ${claimNumber}</div></div>
<p>Fahrgestellnummer ${vin} · Kennzeichen UE-KT 731 · Kilometerstand 61.205 km</p>
<table><tr><th>Pos.</th><th>Bezeichnung</th><th>Menge</th><th>Einzelpreis</th><th>Gesamtpreis</th></tr>${lines.map(([text, n], at) => `<tr><td>${at + 1}</td><td>${text}</td><td>1</td><td>${euro(n)} €</td><td>${euro(n)} €</td></tr>`).join('')}<tr><td></td><td><b>Rechnungsbetrag</b></td><td></td><td></td><td>${euro(total)} €</td></tr></table>`,
{ made: '2026-05-07T09:00:00+02:00', by: 'Ebsen Büro' }, { kind: 'invoice', vin, plate: car.plate, jobNumber, claimNumber, date: { local: '2026-05-07' }, odometer: { value: 61205, unit: 'km' }, operations, pages: 1 })
p.text('packet.yaml', 'packet: 1\nzone: Europe/Berlin\nloss: 2026-04-27\nintake: 2026-05-04T08:00\nrelease: 2026-05-07\n')
p.end({ note: 'Front radar renewed, one language, all consistent.' })
