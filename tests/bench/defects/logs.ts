/** Drive logs as receivers save them: GPX 1.1, NMEA 0183 sentences, a comma separated log; two ways each. */
import { faceOf, isoFace, offsetText } from './clocks.ts'
import type { DrivePaper } from './draft.ts'
import type { Sample } from './drive.ts'

const utc = (time: number, digits: number): string =>
  new Date(Math.round(time * 1000))
    .toISOString()
    .replace(/\.(\d+)Z$/, (_, part: string) => (digits === 0 ? 'Z' : `.${part.slice(0, digits)}Z`))

const isFine = (paper: DrivePaper): boolean => paper.samples.some(({ time }) => time % 1 !== 0)

export function writeGpx(paper: DrivePaper): string {
  const digits = isFine(paper) ? 1 : 0
  const extras = paper.layout === 0
  const points = paper.samples.map(
    (fix) =>
      `<trkpt lat="${fix.latitude.toFixed(7)}" lon="${fix.longitude.toFixed(7)}"><ele>${fix.elevation.toFixed(1)}</ele><time>${utc(paper.start + fix.time, digits)}</time>` +
      `${extras ? `<fix>3d</fix><sat>${fix.satellites}</sat><hdop>${fix.hdop.toFixed(1)}</hdop>` : ''}</trkpt>`,
  )
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<gpx version="1.1" creator="${extras ? 'Roadframe logger 4' : 'Pocket tracks'}" xmlns="http://www.topografix.com/GPX/1/1">`,
    `<trk><name>${paper.sensor} drive ${paper.head.vin ?? ''}</name><trkseg>`,
    ...points,
    '</trkseg></trk>',
    '</gpx>',
    '',
  ].join('\n')
}

function sentence(body: string): string {
  const sum = [...body].reduce((total, sign) => total ^ sign.charCodeAt(0), 0)
  return `$${body}*${sum.toString(16).toUpperCase().padStart(2, '0')}\r\n`
}

function degreesMinutes(value: number, digits: number, marks: readonly [string, string]): string {
  const size = Math.abs(value)
  const degrees = Math.floor(size)
  const minutes = ((size - degrees) * 60).toFixed(5).padStart(8, '0')
  return `${String(degrees).padStart(digits, '0')}${minutes},${value < 0 ? marks[1] : marks[0]}`
}

function sentences(fix: Sample, start: number, talker: string): string {
  const text = utc(start + fix.time, 2)
  const hms = text.slice(11, -1).replaceAll(':', '').padEnd(9, '0')
  const date = `${text.slice(8, 10)}${text.slice(5, 7)}${text.slice(2, 4)}`
  const place = `${degreesMinutes(fix.latitude, 2, ['N', 'S'])},${degreesMinutes(fix.longitude, 3, ['E', 'W'])}`
  return (
    sentence(
      `${talker}RMC,${hms},A,${place},${((fix.speed * 3600) / 1852).toFixed(1)},${fix.course.toFixed(1)},${date},,,A`,
    ) +
    sentence(
      `${talker}GGA,${hms},${place},1,${fix.satellites},${fix.hdop.toFixed(1)},${fix.elevation.toFixed(1)},M,-26.4,M,,`,
    )
  )
}

export const writeNmea = (paper: DrivePaper): string =>
  paper.samples.map((fix) => sentences(fix, paper.start, paper.layout === 0 ? 'GP' : 'GN')).join('')

/** Times are local with the offset in the header, or UTC; speed is the satellite's and the wheels'. */
export function writeCsv(paper: DrivePaper, unit: 'mi' | 'km'): string {
  const { zone } = paper.head.clock
  const local = paper.layout === 0
  const perHour = unit === 'mi' ? 0.44704 : 1 / 3.6
  const name = unit === 'mi' ? 'mph' : 'km/h'
  const digits = isFine(paper) ? 1 : 0
  const when = (time: number) => {
    const shown = local ? faceOf(Math.floor(time), zone) : Math.floor(time)
    const part = digits === 0 ? '' : `.${Math.round((time % 1) * 10)}`
    return `${isoFace(shown).replace('T', ' ')}${part}${local ? offsetText(time, zone) : 'Z'}`
  }
  const rows = paper.samples.map((fix) =>
    [
      when(Math.round((paper.start + fix.time) * 10) / 10),
      fix.latitude.toFixed(6),
      fix.longitude.toFixed(6),
      (fix.speed / perHour).toFixed(1),
      (fix.wheelSpeed / perHour).toFixed(1),
      fix.satellites,
    ].join(','),
  )
  const head = paper.head.vin === null ? [] : [`VIN,${paper.head.vin}`]
  return [
    `Log,${paper.sensor} drive`,
    ...head,
    '',
    `Time,Latitude,Longitude,GPS speed (${name}),Wheel speed (${name}),Satellites`,
    ...rows,
    '',
  ].join('\r\n')
}
