/** What the columns of a drive log hold, by the words and units of their heads. Words: common practice, no source. */
import { partWords } from './word-parts.ts'

export type ColumnRole =
  | 'time'
  | 'latitude'
  | 'longitude'
  | 'latitude-side'
  | 'longitude-side'
  | 'position'
  | 'satellite-speed'
  | 'speed'
  | 'wheel-speed'
  | 'elevation'
  | 'satellites'
  | 'hdop'

export interface DriveColumn {
  index: number
  head: string
  words: string[]
  role: ColumnRole
  /** Metres a second for one unit of a speed column, metres for one of an elevation; null where no unit is stated. */
  scale: number | null
}

/** International yard and pound agreement 1959: mile 1609.344 m, foot 0.3048 m; SI brochure table 8: nautical mile 1852 m. */
const speedUnits: readonly (readonly [RegExp, number])[] = [
  [/(?<![a-z])(?:km ?\/ ?h(?:r|our)?|km ?h|km hr|kph|kmph|kilomet(?:er|re)s per hour)(?![a-z])/, 1 / 3.6],
  [/(?<![a-z])(?:mph|mi ?\/ ?hr?|miles(?: per |\/)hour)(?![a-z])/, 0.44704],
  [/(?<![a-z])(?:m ?\/ ?s(?:ec)?|mps|m s|ms|met(?:er|re)s per second)(?![a-z\d]| ?-?2)/, 1],
  [/(?<![a-z])(?:kn|kts?|knots?|nm ?\/ ?h)(?![a-z])/, 1852 / 3600],
  [/(?<![a-z])(?:ft ?\/ ?s(?:ec)?|fps|feet per second)(?![a-z])/, 0.3048],
]

const wordsOf = {
  latitude: new Set(['lat', 'latitude', 'latitud', 'breite', 'breitengrad']),
  longitude: new Set(['lon', 'lng', 'long', 'longitude', 'longitud', 'länge', 'laenge', 'längengrad', 'laengengrad']),
  side: new Set(['ns', 'ew', 'dir', 'direction', 'ref', 'hemisphere', 'hemi', 'side']),
  time: new Set(
    `time when at timestamp clock datetime date utc gmt elapsed epoch unix t seconds secs sec millis ms runtime localtime gpstime
     zeit uhrzeit datum zeitstempel heure hora fecha tiempo tijd ora hhmmss`.split(/\s+/),
  ),
  speed: new Set('speed speeds velocity spd sog vss geschwindigkeit vitesse velocidad snelheid'.split(' ')),
  notDriven: new Set(
    `engine rpm fan wind limit set setpoint target cruise max maximum min minimum avg average mean yaw shaft turbine motor
     accuracy acc error wiper idle blower pump rate desired steer steering angle torque temp temperature pressure slip
     ratio level status flag valid zone lag offset diff delta course heading slope`.split(/\s+/),
  ),
  /** Units that stand for something else where no word for speed is beside them: milliseconds, kilonewtons. */
  notSpeedAlone: new Set(['ms', 'm', 'kn', 'kt']),
  satellite: new Set(['gps', 'gnss', 'sog', 'ground', 'satellite', 'sat']),
  wheel: new Set('wheel wheels whl wss fl fr rl rr lf rf lr'.split(' ')),
  elevation: new Set('alt altitude ele elev elevation height höhe hoehe altitud'.split(' ')),
  satellites: new Set('sat sats satellites satellite nsat numsat numsats numsv sv svs nsats'.split(' ')),
  position: new Set(['position', 'coordinates', 'coordinate', 'latlon', 'latlng', 'location', 'koordinaten']),
}

/** Head of a column as lower-case words: camelCase, snake_case, hyphens and brackets all part words. */
export function headWords(head: string): string {
  return partWords(head)
    .toLowerCase()
    .replace(/[^\p{L}\p{N}/°%#]+/gu, ' ')
    .trim()
}

/** Metres a second for one of the speed unit named in `text`, null where it names none. */
export function speedScale(text: string): number | null {
  const words = headWords(text).replace(/km h(?![a-z])/, 'km/h')
  return speedUnits.find(([unit]) => unit.test(words))?.[1] ?? null
}

/** The columns of a header row that a drive log is read from; a head that fits nothing is left out. */
export function driveColumns(heads: readonly string[]): DriveColumn[] {
  const columns: DriveColumn[] = []
  heads.forEach((head, index) => {
    if (head === '' || head.length > 80) return
    const words = headWords(head).split(' ')
    const role = roleOf(words, head)
    if (role) columns.push({ index, head, words, role, scale: scaleOf(role, head, words) })
  })
  return columns
}

function roleOf(words: string[], head: string): ColumnRole | null {
  const has = (set: ReadonlySet<string>) => words.some((word) => set.has(word))
  const [latitude, longitude] = [has(wordsOf.latitude), has(wordsOf.longitude)]
  if (latitude && longitude) return 'position'
  if (has(wordsOf.side)) {
    if (latitude || words.join(' ') === 'ns') return 'latitude-side'
    if (longitude || words.join(' ') === 'ew') return 'longitude-side'
  }
  if (/^n ?\/ ?s$/i.test(head)) return 'latitude-side'
  if (/^e ?\/ ?w$/i.test(head)) return 'longitude-side'
  if (has(wordsOf.notDriven) && !has(wordsOf.time)) return null
  if (latitude) return 'latitude'
  if (longitude) return 'longitude'
  if (has(wordsOf.wheel) && (has(wordsOf.speed) || words.length <= 3 || speedScale(head) !== null)) return 'wheel-speed'
  const onlyUnit = !has(wordsOf.time) && words.length <= 3 && speedScale(head) !== null && !has(wordsOf.notSpeedAlone)
  if (has(wordsOf.speed) || onlyUnit) {
    if (has(wordsOf.notDriven)) return null
    return has(wordsOf.satellite) ? 'satellite-speed' : 'speed'
  }
  if (words.includes('hdop')) return 'hdop'
  if (has(wordsOf.satellites) && words.length <= 4 && !has(wordsOf.elevation)) return 'satellites'
  if (has(wordsOf.elevation)) return 'elevation'
  if (has(wordsOf.time) && !has(new Set(['zone', 'offset', 'fix']))) return 'time'
  return has(wordsOf.position) ? 'position' : null
}

function scaleOf(role: ColumnRole, head: string, words: readonly string[]): number | null {
  if (role === 'speed' || role === 'satellite-speed' || role === 'wheel-speed') return speedScale(head)
  if (role !== 'elevation') return null
  if (words.some((word) => ['m', 'metres', 'meters', 'metre', 'meter'].includes(word))) return 1
  return words.some((word) => ['ft', 'feet', 'foot'].includes(word)) ? 0.3048 : null
}
