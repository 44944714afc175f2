#!/usr/bin/env node
// Holds each truth.json against the files: node verify.mjs (poppler-utils, exiftool, zbar-tools)
import { execFileSync, spawnSync } from 'node:child_process'
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { checkDigit, group, home, money, show } from './lib.mjs'

let held = 0
const faults = []
const say = (yes, what) => (yes ? held++ : faults.push(what))
const flat = (s) => s.replace(/[\u2212\u2013]/g, '-').replace(/\s+/g, ' ').toLowerCase()
const run = (...c) => execFileSync(c[0], c.slice(1), { encoding: 'utf8' })
const days = (l) => ['yyyy-MM-dd', 'yyyy/MM/dd', 'MM/dd/yyyy', 'MMM d, yyyy', 'dd-MMM-yyyy'].map((f) => show(l, f))
const times = (l) => (l.length < 11 ? days(l) : days(l).flatMap((d) => (l.length > 16 ? ['HH:mm:ss', 'hh:mm:ss a', 'h:mm:ss a'] : ['HH:mm', 'hh:mm a', 'h:mm a']).flatMap((f) => [`${d} ${show(l, f)}`, `${d} time ${show(l, f)}`])))
const hours = (l) => [...times(l)]
for (const name of readdirSync(home).filter((n) => existsSync(join(home, n, 'truth.json'))).sort()) {
  const truth = JSON.parse(readFileSync(join(home, name, 'truth.json'), 'utf8')), folder = join(home, name, 'files'), names = readdirSync(folder)
  for (const e of truth.expected) for (const f of e.files) say(names.includes(f), `${name} expects ${f}`)
  const locked = truth.expected.filter((e) => e.check === 'files-readable').flatMap((e) => e.files)
  for (const f of locked) say(spawnSync('pdftotext', [join(folder, f), '-']).status !== 0, `${name}/${f} opens`)
  for (const n of names) { say(n === 'packet.yaml' || truth.documents[n] || locked.includes(n), `${name}/${n} has no truth`); say(!/jpe?g$/i.test(n) || statSync(join(folder, n)).size < 60_000, `${name}/${n} is over 60 kB`) }
  for (const [file, t] of Object.entries(truth.documents)) {
    const path = join(folder, file), where = `${name}/${file}`
    if (t.kind === 'photo') {
      const tags = JSON.parse(run('exiftool', '-j', '-n', path))[0]
      say(tags.DateTimeOriginal === t.photo.taken.local.replace(/-/g, ':').replace('T', ' ') && tags.OffsetTimeOriginal === t.photo.taken.offset, `${where} EXIF time`)
      for (const b of t.photo.barcodes) { const got = spawnSync('zbarimg', ['-q', '--raw', '-Sdisable', '-Scode39.enable', path], { encoding: 'utf8' }).stdout.trim(); say(got === b.text, `${where} barcode ${got}`) }
      continue
    }
    const raw = file.endsWith('.pdf') ? [run('pdftotext', '-layout', path, '-'), run('pdftotext', '-raw', path, '-')] : [readFileSync(path, 'utf8'), readFileSync(path, 'utf8').replace(/,/g, ' ')]
    const texts = [...raw.map(flat), ...raw.map((r) => flat(r).replace(/[^a-z0-9]+/g, ' '))]
    const want = (key, ...forms) => say(forms.some((f) => texts.some((x) => x.includes(flat(String(f))))), `${where} ${key}: ${forms[0]}`)
    // a wrapped cell keeps its words, in order, perhaps with other cells' words between them on the line
    const wanted = (key, s) => say(texts[0].includes(flat(s)) || texts[1].includes(flat(s)) || flat(s).split(' ').every((w) => texts[1].includes(w)), `${where} ${key}: ${s}`)
    if (t.vin) want('vin', t.vin)
    if (t.date) want('date', ...times(t.date.local))
    if (t.odometer) { want('odometer', group(t.odometer.value), group(t.odometer.value, ' '), t.odometer.value); want('unit', t.odometer.unit, 'miles', 'mileage') }
    for (const k of ['plate', 'jobNumber', 'claimNumber', 'technician']) if (t[k]) want(k, t[k])
    for (const k of ['name', 'serial', 'software']) if (t.instrument) wanted(`instrument ${k}`, t.instrument[k])
    if (t.batteryVolts) want('volts', `${t.batteryVolts.toFixed(1)} v`, `(v),${t.batteryVolts}`)
    for (const m of t.modules ?? []) wanted('module', m.name)
    for (const c of t.codes ?? []) { want('code', ...(c.failureType ? ['-', ':', ''].map((s) => `${c.code}${s}${c.failureType}`) : [c.code])); wanted('code text', c.text) }
    const printed = [...texts[0].matchAll(/\b[pcbu][0-3][0-9a-f]{3}(?:[-:]?[0-9a-f]{2})?\b/g)].length
    if (t.codes) say(printed === t.codes.length && t.statedCodeCount === t.codes.length, `${where} prints ${printed} codes`)
    for (const c of t.calibrations ?? []) {
      wanted('started', hours(c.started.local).find((h) => flat(h).split(' ').every((w) => texts[1].includes(w))) ?? c.started.local); wanted('ended', hours(c.ended.local).find((h) => flat(h).split(' ').every((w) => texts[1].includes(w))) ?? c.ended.local)
      for (const k of ['serial', 'part', 'procedure']) if (c[k]) want(k, c[k])
      want('progress', `${c.progressPercent}%`, `${c.progressPercent} %`)
      for (const v of c.values) { wanted('value', v.name); want(v.name, v.value.toFixed(2), v.value); say((v.least ?? -1e9) < v.value && v.value < v.most, `${where} ${v.name} limits`) }
    }
    for (const v of t.alignment?.values ?? []) { want(v.name, v.value.toFixed(2)); say(v.least < v.value && v.value < v.most, `${where} ${v.name} limits`) }
    for (const o of t.operations ?? []) { want('operation', o.text); want('amount', money(o.amount)) }
    if (t.drive) {
      const n = file.endsWith('.gpx') ? raw[0].split('<trkpt').length - 1 : file.endsWith('.nmea') ? raw[0].split('$GPRMC').length - 1 : raw[0].trim().split('\n').length - 1
      say(n === t.drive.points, `${where} points ${n}`)
      for (const l of file.endsWith('.nmea') ? raw[0].trim().split('\r\n') : []) { const [, body, s] = /^\$(.*)\*(..)$/.exec(l); say([...body].reduce((x, c) => x ^ c.charCodeAt(0), 0) === parseInt(s, 16), `${where} checksum`) }
    }
  }
  const vins = new Set(Object.values(truth.documents).map((d) => d.vin).filter(Boolean)), good = [...vins].filter((x) => x[8] === checkDigit(x))
  say(good.length === 1 && vins.size === (truth.expected.some((e) => e.check === 'vin-agrees') ? 2 : 1), `${name} VINs ${[...vins]}`)
}
for (const f of faults) console.log(`NOT SO: ${f}`)
console.log(`${held} hold, ${faults.length} do not`)
process.exitCode = faults.length ? 1 : 0
