/** Defects of drives: the log contradicts the record, or no car could have driven it so. */
import { makeChance } from '../chance.ts'
import type { Draft, DrivePaper } from '../draft.ts'
import { driveLegs } from '../drive.ts'
import { type Defect, driveOf, entriesOf, isAlone, isDynamic, movePaper, type Recorded } from './defect.ts'

interface Driven extends Recorded {
  log: DrivePaper
}

/** A dynamic calibration with its log, alone on its record. */
function findDrive(draft: Draft, fits: (found: Driven) => boolean = () => true): Driven | null {
  for (const found of entriesOf(draft)) {
    const log = isDynamic(found) && isAlone(found) ? driveOf(draft, found) : null
    if (log && fits({ ...found, log })) return { ...found, log }
  }
  return null
}

const files = ({ paper, log }: Driven): string[] => [log.file, paper.file]

const withDrive =
  (change: (found: Driven, draft: Draft) => unknown, fits?: (found: Driven) => boolean) => (draft: Draft) => {
    const found = findDrive(draft, fits)
    if (!found || change(found, draft) === false) return null
    return files(found)
  }

/** Drives again at another speed, for so long; record and log agree about it. */
function redrive({ entry, log }: Driven, draft: Draft, speed: number, seconds: number): void {
  const { latitude, longitude } = draft.shop
  const chance = makeChance(draft.seed + 99)
  const side = (speed * seconds) / 4
  const driven = driveLegs(chance, {
    latitude,
    longitude,
    legs: [side, side, side, side].map((metres) => ({ metres, speed, stop: 0 })),
    turn: 90,
    heading: chance.whole(0, 359),
    interval: 1,
  })
  log.samples = driven.samples
  entry.started = log.start - 12
  entry.ended = log.start + Math.round(driven.seconds) + 10
  if (entry.durationSeconds !== null) entry.durationSeconds = entry.ended - entry.started
  if (entry.distanceMiles !== null) entry.distanceMiles = driven.metres / 1609.344
  entry.steps = []
  entry.attempts = []
}

const isRadar = ({ entry }: Driven): boolean => entry.sensor === 'front-radar'
const isCamera = ({ entry }: Driven): boolean => entry.sensor === 'front-camera'
const isDense = ({ log }: Driven): boolean => (log.samples[1]?.time ?? 0) <= 1

/** The car slows down where the log is cut: the gap itself is the defect. */
const cutOut = ({ log }: Driven, from: number, seconds: number): boolean => {
  const last = log.samples.at(-1)?.time ?? 0
  const start = last * from
  log.samples = log.samples.filter(({ time }) => time < start || time > start + seconds)
  return last > seconds * 1.5
}

export const driveDefects: Defect[] = [
  {
    check: 'drive-duration-plausible',
    name: 'ninety-seconds',
    verdict: 'fail',
    plant: withDrive((found, draft) => redrive(found, draft, 12, 60)),
  },
  {
    check: 'drive-duration-plausible',
    name: 'half-a-minute',
    verdict: 'fail',
    plant: withDrive((found, draft) => redrive(found, draft, 8, 25)),
  },
  {
    check: 'drive-duration-plausible',
    name: 'unusually-long',
    verdict: 'warn',
    plant: withDrive((found, draft) => redrive(found, draft, 21, 1900), isRadar),
  },
  {
    check: 'drive-duration-agrees',
    name: 'three-times',
    verdict: 'fail',
    plant: withDrive(({ entry }) => {
      if (entry.durationSeconds === null) return false
      entry.durationSeconds *= 3
      return true
    }),
  },
  {
    check: 'drive-duration-agrees',
    name: 'three-minutes',
    verdict: 'warn',
    plant: withDrive(({ entry }) => {
      if (entry.durationSeconds === null) return false
      entry.durationSeconds += Math.max(110, Math.round(entry.durationSeconds * 0.14))
      return true
    }),
  },
  {
    check: 'drive-duration-agrees',
    name: 'log-much-shorter',
    verdict: 'fail',
    plant: withDrive(
      ({ log }) => {
        const last = log.samples.at(-1)?.time ?? 0
        log.samples = log.samples.filter(({ time }) => time < last * 0.4)
      },
      ({ log }) => (log.samples.at(-1)?.time ?? 0) > 500,
    ),
  },
  {
    check: 'drive-speed-in-band',
    name: 'too-slow',
    verdict: 'fail',
    plant: withDrive((found, draft) => redrive(found, draft, 11.5, 620), isRadar),
  },
  {
    check: 'drive-speed-in-band',
    name: 'walking-pace',
    verdict: 'fail',
    plant: withDrive((found, draft) => redrive(found, draft, 5, 420), isCamera),
  },
  {
    check: 'drive-distance-agrees',
    name: 'half-as-far-again',
    verdict: 'fail',
    plant: withDrive(({ entry }) => {
      if (entry.distanceMiles === null) return false
      entry.distanceMiles = entry.distanceMiles * 1.6 + 1
      return true
    }),
  },
  {
    check: 'drive-distance-agrees',
    name: 'a-seventh-further',
    verdict: 'warn',
    plant: withDrive(({ entry }) => {
      if (entry.distanceMiles === null) return false
      entry.distanceMiles *= 1.16
      return true
    }),
  },
  { check: 'drive-log-continuous', name: 'gap', verdict: 'warn', plant: withDrive((found) => cutOut(found, 0.4, 95)) },
  {
    check: 'drive-log-continuous',
    name: 'mostly-gaps',
    verdict: 'fail',
    plant: withDrive(
      (found) => cutOut(found, 0.2, (found.log.samples.at(-1)?.time ?? 0) * 0.6),
      ({ log }) => (log.samples.at(-1)?.time ?? 0) > 400,
    ),
  },
  {
    check: 'drive-log-continuous',
    name: 'sparse',
    verdict: 'warn',
    plant: withDrive(({ log }) => {
      log.samples = log.samples.filter(({ time }) => Math.round(time) === time && time % 20 === 0)
    }),
  },
  {
    check: 'drive-physically-possible',
    name: 'jumps',
    verdict: 'fail',
    plant: withDrive(({ log }) => {
      const last = log.samples.at(-1)?.time ?? 0
      for (const sample of log.samples) if (sample.time > last / 2) sample.latitude += 0.08
    }),
  },
  {
    check: 'drive-physically-possible',
    name: 'speed-contradicts-position',
    verdict: 'fail',
    plant: withDrive(({ log }) => {
      if (log.log === 'gpx') return false
      for (const sample of log.samples) {
        sample.speed = sample.speed * 2.4 + 3
        sample.wheelSpeed = sample.speed
      }
      return true
    }),
  },
  {
    check: 'drive-not-synthetic',
    name: 'perfectly-even',
    verdict: 'fail',
    plant: withDrive(({ log }, draft) => {
      const { latitude, longitude } = draft.shop
      for (const sample of log.samples) {
        Object.assign(sample, {
          latitude: latitude + sample.time * 0.0002,
          longitude: longitude + sample.time * 0.0001,
          elevation: 200,
          speed: 23.7,
          wheelSpeed: 23.7,
          course: 22.5,
          satellites: 12,
          hdop: 0.8,
        })
      }
    }, isDense),
  },
  {
    check: 'drive-not-synthetic',
    name: 'segment-repeated',
    verdict: 'fail',
    plant: withDrive(({ log }) => {
      const half = Math.floor(log.samples.length / 2)
      for (let index = half; index < log.samples.length; index++) {
        const twin = log.samples[index - half]
        const own = log.samples[index]
        if (twin && own) log.samples[index] = { ...twin, time: own.time }
      }
    }, isDense),
  },
  {
    check: 'drive-starts-at-shop',
    name: 'elsewhere',
    verdict: 'warn',
    plant: withDrive(({ log }, draft) => {
      if (!draft.declared) return false
      for (const sample of log.samples) sample.latitude += 0.4
      return true
    }),
  },
  {
    check: 'drive-starts-at-shop',
    name: 'next-town',
    verdict: 'warn',
    plant: withDrive(({ log }, draft) => {
      if (!draft.declared) return false
      for (const sample of log.samples) sample.longitude += 0.15
      return true
    }),
  },
  {
    check: 'drive-in-daylight',
    name: 'at-night',
    verdict: 'warn',
    plant: (draft) => {
      const found = findDrive(draft, isCamera)
      if (!found) return null
      const hour = localHour(draft, found.log.start)
      moveAll(draft, Math.round((26 - hour) * 3600))
      return files(found)
    },
  },
  {
    check: 'drive-in-daylight',
    name: 'before-dawn',
    verdict: 'warn',
    plant: (draft) => {
      const found = findDrive(draft, isCamera)
      if (!found) return null
      const hour = localHour(draft, found.log.start)
      moveAll(draft, Math.round((2 - hour) * 3600))
      return files(found)
    },
  },
  {
    check: 'drive-log-of-this-vehicle',
    name: 'other-vin',
    verdict: 'fail',
    plant: withDrive(({ log }) => {
      if (log.log !== 'csv' || log.head.vin === null) return false
      log.head.vin = `7XZTK4LA9PB${log.head.vin.slice(12)}`.slice(0, 17)
      return true
    }),
  },
  {
    check: 'drive-log-of-this-vehicle',
    name: 'wheels-do-something-else',
    verdict: 'warn',
    plant: withDrive(({ log }) => {
      if (log.log !== 'csv') return false
      const speeds = log.samples.map(({ wheelSpeed }) => wheelSpeed)
      const shift = Math.floor(speeds.length / 3)
      for (const [index, sample] of log.samples.entries())
        sample.wheelSpeed = speeds[(index + shift) % speeds.length] ?? 0
      return true
    }, isDense),
  },
]

const localHour = (draft: Draft, time: number): number => {
  // Solar hour: what daylight depends on.
  return (((time / 3600 + draft.shop.longitude / 15) % 24) + 24) % 24
}

/** The whole job some hours earlier or later. */
function moveAll(draft: Draft, seconds: number): void {
  for (const paper of draft.papers) movePaper(paper, seconds)
  if (!draft.declared) return
  for (const key of ['intake', 'release'] as const) draft.declared[key] += seconds
  for (const repair of draft.declared.repairs) {
    repair.started += seconds
    repair.ended += seconds
  }
}
