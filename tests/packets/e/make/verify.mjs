/** Holds each truth.json of this set against the words of its files, as pdftotext and pdfinfo give them. */
import { execFileSync } from 'node:child_process'
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

const root = fileURLToPath(new URL('..', import.meta.url))
const months = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec']
const words = (text) => text.toLowerCase().replace(/[\s ]+/g, ' ')
let [asked, lacking] = [0, 0]

const run = (...args) => execFileSync(args[0], args.slice(1), { encoding: 'utf8' })
const textsOf = (path) => (path.endsWith('.pdf') ? [['-layout'], ['-raw'], []].map((how) => words(run('pdftotext', ...how, path, '-'))) : [words(readFileSync(path, 'utf8'))])

for (const name of readdirSync(root).filter((one) => /^p\d\d$/.test(one)).sort()) {
  const truth = JSON.parse(readFileSync(`${root}${name}/truth.json`, 'utf8'))
  for (const { files } of truth.expected) for (const file of files) if (!truth.documents[file]) console.log(`${name}: expected names ${file}, which is not there`)
  for (const file of readdirSync(`${root}${name}/files`)) if (!truth.documents[file] && file !== 'packet.yaml') console.log(`${name}: ${file} has no truth`)
  for (const [file, want] of Object.entries(truth.documents)) {
    const path = `${root}${name}/files/${file}`
    if (!existsSync(path)) console.log(`${name}: no ${file}`)
    if (want.kind === 'drive-log') continue
    const texts = textsOf(path)
    const bare = texts.map((text) => text.replace(/(\d)[ .,](?=\d{3}(?!\d))/g, '$1'))
    const ask = (what, forms) => {
      asked += 1
      const hit = forms.some((form) => [...texts, ...bare].some((text) => text.includes(words(String(form)))))
      if (hit) return
      lacking += 1
      console.log(`${name}/${file}: ${what} ${JSON.stringify(forms)} is not printed`)
    }
    /** A cell that wrapped: its words stand there, though not in one line. */
    const askWords = (what, text) => words(text).split(/[ ,]+/).filter((word) => word.length > 1).forEach((word) => ask(what, [word]))
    const number = (value, digits = 3) => [...new Set([String(value), ...[1, 2].slice(0, digits).flatMap((n) => [value.toFixed(n), value.toFixed(n).replace('.', ',')])])]
    const askDate = (what, date) => {
      if (!date) return
      const [year, month, day] = date.local.slice(0, 10).split('-')
      const [m, d] = [Number(month), Number(day)]
      const long = months[m - 1]
      const full = new Date(Date.UTC(2026, m - 1, 1)).toLocaleString('en', { month: 'long', timeZone: 'UTC' }).toLowerCase()
      ask(what, [`${year}-${month}-${day}`, `${day}.${month}.${year}`, `${month}/${day}/${year}`, `${day}/${month}/${year}`, `${long} ${d}, ${year}`, `${full} ${d}, ${year}`, `${d}-${long}-${year}`, `${d} ${long} ${year}`, `${d} ${full} ${year}`])
      if (date.local.length <= 10) return
      const [hour, minute] = date.local.slice(11, 16).split(':')
      const twelve = `${Number(hour) % 12 || 12}:${minute} ${Number(hour) < 12 ? 'am' : 'pm'}`
      ask(`${what} time`, [`${hour}:${minute}`, `${hour} h ${minute}`, twelve])
      if (date.offset) {
        const hours = date.offset.slice(0, 3)
        ask(`${what} zone`, [date.offset, date.offset.replace(':', ''), `gmt${Number(hours)}`])
      }
    }
    for (const key of ['vin', 'plate', 'jobNumber', 'claimNumber', 'technician']) if (want[key]) ask(key, [want[key]])
    for (const key of ['make', 'model', 'year']) if (want.vehicle?.[key]) ask(key, [want.vehicle[key]])
    for (const key of ['name', 'serial', 'software']) if (want.instrument?.[key]) ask(`instrument ${key}`, [want.instrument[key]])
    if (want.odometer) ask('odometer', [`${want.odometer.value} ${want.odometer.unit}`, `${want.odometer.value}`])
    if (want.batteryVolts) ask('battery', number(want.batteryVolts))
    askDate('date', want.date)
    for (const { name: module } of want.modules ?? []) askWords(`module ${module}`, module)
    for (const code of want.codes ?? []) ask('code', [`${code.code}-${code.failureType}`])
    for (const one of want.calibrations ?? []) {
      askDate('started', one.started)
      askDate('ended', one.ended)
      if (one.serial) ask('sensor serial', [one.serial])
      if (one.progressPercent !== undefined) ask('progress', [`${one.progressPercent} %`, `${one.progressPercent}%`, `progresspercent": ${one.progressPercent}`])
      for (const value of one.values ?? []) {
        askWords('value', value.name)
        ask(`value ${value.name}`, number(value.value))
      }
    }
    for (const { text, amount } of want.operations ?? []) {
      askWords('operation', text)
      ask('amount', number(amount))
    }
    if (want.pages && !run('pdfinfo', path).includes(`Pages:           ${want.pages}\n`)) console.log(`${name}/${file}: not ${want.pages} page`)
  }
}
console.log(`${asked} statements asked of the files, ${lacking} not found there`)
process.exitCode = lacking ? 1 : 0
