// Road drives: a car on a closed circuit of straights and bends, seen by a receiver with drifting noise.
import { random } from './tools.mjs'

const EARTH = 6371008.8
const degree = Math.PI / 180

// legs: [seconds, wanted metres per second][]. One point a second but for the few that a receiver misses.
export function road({ seed, lat, lon, turn, legs, loss = 0.008 }) {
  const r = random(seed)
  const step = 0.2
  const run = [{ s: 0, v: 0 }]
  let v = 0,
    s = 0,
    mood = 0
  for (const [seconds, wanted] of legs) {
    for (let i = 0; i < seconds / step; i++) {
      mood = mood * 0.996 + 0.09 * r.bell()
      const goal = wanted === 0 ? 0 : Math.max(0, wanted + mood)
      const pull = Math.max(-1.9, Math.min(1.5, (goal - v) / 2.4))
      v = Math.max(0, v + pull * step)
      s += v * step
      run.push({ s, v })
    }
  }
  const where = circuit(s, 260 + 80 * r.next(), r.next() * 6)
  const seconds = Math.floor((run.length - 1) * step)
  const points = []
  let dx = 1.4 * r.bell(),
    dy = 1.4 * r.bell(),
    dz = 2 * r.bell()
  for (let t = 0; t <= seconds; t++) {
    const now = run[Math.round(t / step)]
    dx = 0.98 * dx + 0.33 * r.bell()
    dy = 0.98 * dy + 0.33 * r.bell()
    dz = 0.99 * dz + 0.4 * r.bell()
    if (t > 0 && t < seconds && r.next() < loss) continue
    const [x, y] = where(now.s),
      [xa, ya] = where(Math.max(0, now.s - 2)),
      [xb, yb] = where(Math.min(s, now.s + 2))
    const c = Math.cos(turn * degree),
      n = Math.sin(turn * degree)
    const px = x + dx + 0.1 * r.bell(),
      py = y + dy + 0.1 * r.bell()
    const east = px * c + py * n,
      north = py * c - px * n
    const course =
      (Math.atan2((xb - xa) * c + (yb - ya) * n, (yb - ya) * c - (xb - xa) * n) / degree + 360.4 + 0.8 * r.bell()) % 360
    points.push({
      t,
      lat: lat + north / EARTH / degree,
      lon: lon + east / (EARTH * Math.cos(lat * degree)) / degree,
      up: 9 * Math.sin(now.s / 1100) + 4 * Math.sin(now.s / 270) + dz,
      v: Math.max(0, now.v + (now.v > 0.5 ? 0.14 : 0.02) * r.bell()),
      course,
      sats: 9 + Math.round(1.6 + r.bell()),
      hdop: 0.9 + 0.08 * r.bell(),
    })
  }
  return { points, seconds }
}

// Two long and two short sides joined by quarter circles, with a gentle weave, so that it ends where it began.
function circuit(total, radius, phase) {
  const quarter = (Math.PI / 2) * radius,
    rest = total - 4 * quarter
  const sides = [rest * 0.34, rest * 0.16, rest * 0.34, rest * 0.16]
  const parts = sides.flatMap((len) => [
    { len, bend: 0 },
    { len: quarter, bend: 1 / radius },
  ])
  let from = { s: 0, x: 0, y: 0, h: 0 }
  for (const p of parts) {
    p.from = from
    from = { ...move(from, p.len, p.bend), s: from.s + p.len }
  }
  return (s) => {
    const p = parts.findLast((q) => q.from.s <= s) ?? parts[0]
    const m = move(p.from, s - p.from.s, p.bend)
    const weave =
      Math.min(1, s / 300, (total - s) / 300) * (8 * Math.sin(s / 190 + phase) + 4 * Math.sin(s / 83 - phase))
    return [m.x - Math.sin(m.h) * weave, m.y + Math.cos(m.h) * weave]
  }
}
function move(from, len, bend) {
  if (!bend) return { x: from.x + Math.cos(from.h) * len, y: from.y + Math.sin(from.h) * len, h: from.h }
  const h = from.h + len * bend
  return { x: from.x + (Math.sin(h) - Math.sin(from.h)) / bend, y: from.y - (Math.cos(h) - Math.cos(from.h)) / bend, h }
}

// What a reader can find in the log: number of points, seconds from first to last, metres over the sphere.
export function measure({ points }) {
  let metres = 0
  for (let i = 1; i < points.length; i++) {
    const a = points[i - 1],
      b = points[i]
    const h =
      Math.sin(((b.lat - a.lat) * degree) / 2) ** 2 +
      Math.cos(a.lat * degree) * Math.cos(b.lat * degree) * Math.sin(((b.lon - a.lon) * degree) / 2) ** 2
    metres += 2 * EARTH * Math.asin(Math.sqrt(h))
  }
  const moving = points.filter((p) => p.v > 1.5)
  return {
    points: points.length,
    durationSeconds: points[points.length - 1].t - points[0].t,
    distanceMetres: Math.round(metres),
    over40mph: moving.filter((p) => p.v > 17.9).length / moving.length,
  }
}

const iso = (start, t) => new Date(Date.parse(start) + t * 1000).toISOString().replace('.000Z', 'Z')

export const asGpx = (log, start, name) =>
  `<?xml version="1.0" encoding="utf-8"?>\n<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="Hedgeroad pocket logger 2.7">\n<trk><name>${name}</name><trkseg>\n` +
  log.points
    .map(
      (p) =>
        `<trkpt lat="${p.lat.toFixed(7)}" lon="${p.lon.toFixed(7)}"><ele>${(log.base + p.up).toFixed(0)}</ele><time>${iso(start, p.t)}</time></trkpt>`,
    )
    .join('\n') +
  '\n</trkseg></trk>\n</gpx>\n'

// NMEA 0183, talker GN, one RMC and one GGA a second and a VTG; checksum = XOR of the bytes between $ and *.
export function asNmea(log, start) {
  const line = (body) =>
    `$${body}*${[...body]
      .reduce((x, c) => x ^ c.charCodeAt(0), 0)
      .toString(16)
      .toUpperCase()
      .padStart(2, '0')}\r\n`
  const angle = (deg, width) => {
    const whole = Math.floor(Math.abs(deg))
    return String(whole).padStart(width, '0') + ((Math.abs(deg) - whole) * 60).toFixed(4).padStart(7, '0')
  }
  return log.points
    .map((p) => {
      const moment = iso(start, p.t)
      const clock = `${moment.slice(11, 19).replace(/:/g, '')}.000`,
        day = moment.slice(8, 10) + moment.slice(5, 7) + moment.slice(2, 4)
      const place = `${angle(p.lat, 2)},${p.lat < 0 ? 'S' : 'N'},${angle(p.lon, 3)},${p.lon < 0 ? 'W' : 'E'}`
      return (
        line(
          `GNGGA,${clock},${place},1,${String(p.sats).padStart(2, '0')},${p.hdop.toFixed(2)},${(log.base + p.up).toFixed(1)},M,-21.4,M,,`,
        ) + line(`GNRMC,${clock},A,${place},${((p.v * 3600) / 1852).toFixed(2)},${p.course.toFixed(2)},${day},,,A`)
      )
    })
    .join('')
}

// A logger of a country with decimal commas: semicolons between, column names of its own.
export const asCommaCsv = (log, start, heading) =>
  '\ufeff' +
  heading +
  [
    't_utc;pos_n;pos_e;gs_kmh;alt_m',
    ...log.points.map((p) =>
      [
        iso(start, p.t).replace('T', ' ').replace('Z', ''),
        p.lat.toFixed(6),
        p.lon.toFixed(6),
        (p.v * 3.6).toFixed(1),
        (log.base + p.up).toFixed(1),
      ]
        .join(';')
        .replace(/(\d)\.(\d)/g, '$1,$2'),
    ),
  ].join('\r\n') +
  '\r\n'

// Milliseconds since the start, and the start in a comment.
export const asElapsedCsv = (log, start, heading) =>
  `${heading}# started ${start}\n` +
  [
    'elapsed_ms,latitude_dd,longitude_dd,spd_mph,hdg',
    ...log.points.map((p) =>
      [p.t * 1000, p.lat.toFixed(6), p.lon.toFixed(6), (p.v / 0.44704).toFixed(1), p.course.toFixed(0)].join(','),
    ),
  ].join('\n') +
  '\n'
