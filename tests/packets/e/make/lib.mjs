/** What the packets of this set share: a press for pages, a road to drive on, and the truth that goes beside the papers. */
import { execFileSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

const values = Object.fromEntries(
  [...'0123456789'].map((digit) => [digit, Number(digit)]).concat(
    [...'ABCDEFGH'].map((letter, at) => [letter, at + 1]),
    [...'JKLMN'].map((letter, at) => [letter, at + 1]),
    [['P', 7], ['R', 9]],
    [...'STUVWXYZ'].map((letter, at) => [letter, at + 2]),
  ),
)
const weights = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2]

/** The VIN of a stem of 17 characters, its ninth set to the check digit (49 CFR 565.15). */
export function vinOf(stem) {
  if (stem.length !== 17) throw new Error(`${stem} has ${stem.length} characters`)
  if (/[^0-9A-HJ-NPR-Z]/.test(stem.replace('_', '0'))) throw new Error(`${stem} has a character that no VIN has`)
  const sum = [...stem].reduce((total, mark, at) => total + (at === 8 ? 0 : values[mark] * weights[at]), 0)
  return stem.slice(0, 8) + 'X0123456789'[((sum % 11) + 1) % 11] + stem.slice(9)
}

/** Numbers that look like chance and are the same each time: uniform, and normal. */
export function chance(seed) {
  let state = seed >>> 0
  const uniform = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 2 ** 32
  }
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform())
  return { uniform, normal }
}

/** A corner cut three times (Chaikin), so that a car can take it. */
function round(points) {
  let line = points
  for (let turn = 0; turn < 3; turn += 1)
    line = line.flatMap((point, at) => {
      const next = line[at + 1]
      if (!next) return [point]
      const length = Math.hypot(next.x - point.x, next.y - point.y)
      const share = Math.min(0.25, 40 / length)
      const on = (part) => ({ x: point.x + (next.x - point.x) * part, y: point.y + (next.y - point.y) * part, speed: next.speed, stop: 0 })
      return at === 0 ? [point, on(1 - share)] : [on(share), { ...on(1 - share), stop: 0 }]
    })
  return line
}

/**
 * A drive along `way`: [east m, north m, speed m/s on the way there, seconds of stop there]. Second by second, with the
 * wander and the noise of a receiver. Ends where the way ends.
 */
export function drive({ way, at: [lat, lon], started, seed }) {
  const { uniform, normal } = chance(seed)
  const line = round(way.map(([x, y, speed = 12]) => ({ x, y, speed })))
  const path = []
  for (let i = 0; i + 1 < line.length; i += 1) {
    const [a, b] = [line[i], line[i + 1]]
    const length = Math.hypot(b.x - a.x, b.y - a.y)
    for (let s = 0; s < length; s += 1) path.push({ x: a.x + ((b.x - a.x) * s) / length, y: a.y + ((b.y - a.y) * s) / length, most: b.speed })
  }
  const turn = (i) => {
    const [p, q, r] = [path[Math.max(0, i - 8)], path[i], path[Math.min(path.length - 1, i + 8)]]
    const one = Math.atan2(q.y - p.y, q.x - p.x)
    const two = Math.atan2(r.y - q.y, r.x - q.x)
    return Math.abs(Math.atan2(Math.sin(two - one), Math.cos(two - one))) / 8
  }
  const speed = path.map((point, i) => Math.min(point.most, Math.sqrt(1.4 / (turn(i) + 1e-4))))
  const stops = way.filter(([, , , stop]) => stop).map(([x, y, , stop]) => ({ stop, i: path.reduce((best, p, i) => (Math.hypot(p.x - x, p.y - y) < Math.hypot(path[best].x - x, path[best].y - y) ? i : best), 0) }))
  speed[0] = 0
  speed[speed.length - 1] = 0
  for (const { i } of stops) speed[i] = 0
  for (let i = 1; i < speed.length; i += 1) speed[i] = Math.min(speed[i], Math.sqrt(speed[i - 1] ** 2 + 2 * 1.3))
  for (let i = speed.length - 2; i >= 0; i -= 1) speed[i] = Math.min(speed[i], Math.sqrt(speed[i + 1] ** 2 + 2 * 1.5))
  const points = []
  let [s, t, wanderX, wanderY, ease, height] = [0, 0, 0, 0, 0, 212]
  const waits = new Map(stops.map(({ i, stop }) => [i, stop]))
  const note = (v, x, y) => {
    wanderX = 0.97 * wanderX + 0.12 * normal()
    wanderY = 0.97 * wanderY + 0.12 * normal()
    height += 0.25 * normal() + 0.01 * (212 - height)
    const east = x + wanderX
    const north = y + wanderY
    points.push({ t, time: new Date(Date.parse(started) + t * 1000), lat: lat + north / 111195, lon: lon + east / (111195 * Math.cos((lat * Math.PI) / 180)), east, north, v: Math.max(0, v + (v > 0.3 ? 0.12 * normal() : 0)), height, satellites: 9 + Math.floor(uniform() * 5), hdop: 0.7 + 0.5 * uniform() })
    t += 1
  }
  note(0, path[0].x, path[0].y)
  while (s < path.length - 1.5) {
    ease = 0.95 * ease + 0.02 * normal()
    const i = Math.floor(s)
    const soon = speed[Math.min(speed.length - 1, Math.round(s + speed[i]))]
    const v = Math.max(0.8, Math.min((speed[i] + soon) / 2 * (0.97 + 0.3 * Math.min(0.1, Math.max(-0.2, ease))), 40))
    const next = Math.min(path.length - 1, s + v)
    const halt = [...waits.keys()].find((k) => k > s - 1 && k <= next)
    s = next
    note(halt === undefined ? v : 0, path[Math.floor(s)].x, path[Math.floor(s)].y)
    if (halt !== undefined) {
      for (let k = 0; k < waits.get(halt); k += 1) note(0, path[Math.floor(s)].x, path[Math.floor(s)].y)
      waits.delete(halt)
    }
  }
  return points
}

/** Points, seconds and metres of a log, as whoever lays a tape along its points would count them. */
export function measure(points) {
  let metres = 0
  for (let i = 1; i < points.length; i += 1) metres += Math.hypot(points[i].east - points[i - 1].east, points[i].north - points[i - 1].north)
  return { points: points.length, durationSeconds: points.at(-1).t - points[0].t, distanceMetres: Math.round(metres) }
}

const two = (number) => String(number).padStart(2, '0')
/** The parts of an instant on a clock `hours` from UTC. */
export function clock(time, hours) {
  const shifted = new Date(time.getTime() + hours * 3600_000).toISOString()
  return { day: shifted.slice(0, 10), time: shifted.slice(11, 19), local: shifted.slice(0, 19), offset: `${hours < 0 ? '-' : '+'}${two(Math.abs(hours))}:00` }
}

export const escape = (text) => String(text).replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;')

/** A page as bytes of a PDF that names its own day and maker. */
function stamp(from, to, { made, by }) {
  const stamped = `${from}.stamped.pdf`
  const day = made.slice(0, 10).replaceAll('-', ':')
  const rest = made.slice(11)
  execFileSync('exiftool', ['-q', `-PDF:CreateDate=${day} ${rest}`, `-PDF:ModifyDate=${day} ${rest}`, `-PDF:Producer=${by}`, `-PDF:Creator=${by}`, '-PDF:Title=', '-o', stamped, from], { stdio: ['ignore', 'ignore', 'inherit'] })
  execFileSync('qpdf', ['--deterministic-id', stamped, to])
}

export function packet(name) {
  const folder = fileURLToPath(new URL(`../${name}`, import.meta.url))
  const files = join(folder, 'files')
  rmSync(folder, { recursive: true, force: true })
  mkdirSync(files, { recursive: true })
  const work = mkdtempSync(join(tmpdir(), 'set-e-'))
  const documents = {}
  const keep = (file, truth) => {
    if (truth) documents[file] = truth
  }
  return {
    text(file, content, truth) {
      writeFileSync(join(files, file), content)
      keep(file, truth)
    },
    /** HTML laid out and printed. */
    page(file, html, about, truth) {
      const source = join(work, 'page.html')
      writeFileSync(source, html)
      const raw = join(work, 'raw.pdf')
      execFileSync('chromium', ['--headless', '--no-sandbox', '--disable-gpu', '--no-pdf-header-footer', `--print-to-pdf=${raw}`, source], { stdio: 'ignore' })
      stamp(raw, join(files, file), about)
      for (const rest of [raw, `${raw}.stamped.pdf`]) rmSync(rest, { force: true })
      keep(file, truth)
    },
    /** A document of a word processor or a spreadsheet (`ending`), printed by an office program. */
    office(file, ending, content, about, truth) {
      const source = join(work, `office.${ending}`)
      writeFileSync(source, content)
      execFileSync('soffice', ['--headless', '--convert-to', 'pdf', '--outdir', work, source], { stdio: 'ignore' })
      const raw = join(work, 'office.pdf')
      stamp(raw, join(files, file), about)
      for (const rest of [raw, `${raw}.stamped.pdf`]) rmSync(rest, { force: true })
      keep(file, truth)
    },
    end({ note, expected = [], allowed = [] }) {
      rmSync(work, { recursive: true, force: true })
      const truth = { note, clean: expected.length === 0, documents, expected, allowed }
      writeFileSync(join(folder, 'truth.json'), `${JSON.stringify(truth, null, 1)}\n`)
    },
  }
}
