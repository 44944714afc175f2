/** One drive as receivers save it: GPX 1.1, NMEA 0183 sentences, a comma separated log. */
import { clockSeconds, iso, parts } from '../times.ts'
import type { Drive, Fix } from './drive.ts'

const fixed = (value: number, digits: number): string => value.toFixed(digits)

/** GPX 1.1. `start`: seconds, UTC. */
export function writeGpx(drive: Drive, start: number, name: string): string {
  const points = drive.fixes.map(
    (fix) =>
      `      <trkpt lat="${fixed(fix.latitude, 7)}" lon="${fixed(fix.longitude, 7)}"><ele>${fixed(fix.elevation, 1)}</ele>` +
      `<time>${iso(start + fix.time)}Z</time><fix>3d</fix><sat>${fix.satellites}</sat><hdop>${fixed(fix.hdop, 1)}</hdop></trkpt>`,
  )
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    '<gpx version="1.1" creator="Roadframe logger 4.7" xmlns="http://www.topografix.com/GPX/1/1">',
    `  <metadata><name>${name}</name><time>${iso(start)}Z</time></metadata>`,
    `  <trk><name>${name}</name>`,
    '    <trkseg>',
    ...points,
    '    </trkseg>',
    '  </trk>',
    '</gpx>',
    '',
  ].join('\n')
}

function sentence(body: string): string {
  const sum = [...body].reduce((total, sign) => total ^ sign.charCodeAt(0), 0)
  return `$${body}*${sum.toString(16).toUpperCase().padStart(2, '0')}\r\n`
}

function degreesMinutes(value: number, digits: number, marks: string): string {
  const size = Math.abs(value)
  const degrees = Math.floor(size)
  const minutes = fixed((size - degrees) * 60, 4).padStart(7, '0')
  return `${String(degrees).padStart(digits, '0')}${minutes},${value < 0 ? marks[1] : marks[0]}`
}

function sentences(fix: Fix, time: number): string {
  const { year, month, day } = parts(time)
  const hms = `${clockSeconds(time).replaceAll(':', '')}.00`
  const date = [day, month, year % 100].map((part) => String(part).padStart(2, '0')).join('')
  const place = `${degreesMinutes(fix.latitude, 2, 'NS')},${degreesMinutes(fix.longitude, 3, 'EW')}`
  const knots = fixed((fix.speed * 3600) / 1852, 1)
  return (
    sentence(`GPRMC,${hms},A,${place},${knots},${fixed(fix.course, 1)},${date},,,A`) +
    sentence(`GPGGA,${hms},${place},1,${fix.satellites},${fixed(fix.hdop, 1)},${fixed(fix.elevation, 1)},M,-26.4,M,,`)
  )
}

/** NMEA 0183 RMC and GGA, once a second. `start`: seconds, UTC. */
export function writeNmea(drive: Drive, start: number): string {
  return drive.fixes.map((fix) => sentences(fix, start + fix.time)).join('')
}

/** A comma separated log with a few header lines. `start`: seconds, local. */
export function writeCsvTrack(drive: Drive, start: number, header: Record<string, string>): string {
  const mph = (speed: number): string => fixed(speed / 0.44704, 1)
  const rows = drive.fixes.map((fix) =>
    [
      `${iso(start + fix.time).replace('T', ' ')}`,
      fixed(fix.latitude, 6),
      fixed(fix.longitude, 6),
      mph(fix.speed),
      mph(fix.wheelSpeed),
      fix.satellites,
      fixed(fix.hdop, 1),
    ].join(','),
  )
  const heads = 'Local time,Latitude,Longitude,GPS speed (mph),Wheel speed (mph),Satellites,HDOP'
  return [...Object.entries(header).map(([label, value]) => `${label},${value}`), '', heads, ...rows, ''].join('\r\n')
}
