/** Packets of dynamic calibrations and drive logs on one day. Times are `HH:MM` or `HH:MM:SS` in the printed zone -06:00. */
import type { CalibrationReading, DriveReading } from '../../../src/facts/document.ts'
import type { Packet } from '../../../src/packet/packet.ts'
import { makeDate, makeDocument, makeEvent, makePacket, makePlace } from '../packet-builder.ts'

export interface RunParts extends Omit<Partial<CalibrationReading>, 'started' | 'ended'> {
  started?: string
  ended?: string
  /** How the record words its duration. */
  wording?: string
}

export interface LogParts {
  started?: string
  ended?: string
  durationSeconds?: number
  movingSeconds?: number
}

export function dateOf(time: string) {
  return makeDate(`2026-10-20T${time}-06:00`)
}

/** Records `cal-1.pdf` …, logs `log-1.gpx` …; events where times are stated. */
export function packetOfDrives(runs: readonly RunParts[], logs: readonly LogParts[] = []): Packet {
  const records = runs.map(({ started, ended, wording, ...rest }, index) =>
    makeDocument('calibration', `cal-${index + 1}.pdf`, {
      calibrations: [
        {
          sensor: 'front-radar',
          position: null,
          method: 'dynamic',
          outcome: 'completed',
          ...(started ? { started: dateOf(started) } : {}),
          ...(ended ? { ended: dateOf(ended) } : {}),
          ...rest,
        },
      ],
      evidence: {
        'calibrations.0': [makePlace('record')],
        'calibrations.0.durationSeconds': [makePlace(wording ?? `Duration ${rest.durationSeconds} s`)],
        ...(started ? { 'calibrations.0.started': [makePlace(started)] } : {}),
        ...(ended ? { 'calibrations.0.ended': [makePlace(ended)] } : {}),
      },
    }),
  )
  const drives = logs.map((log, index) =>
    makeDocument('drive-log', `log-${index + 1}.gpx`, {
      drive: driveOf(log),
      evidence: { drive: [makePlace('track')] },
    }),
  )
  const events = [
    ...runs.map((run, index) => eventOf(`calibration-${index + 1}`, `cal-${index + 1}.pdf`, run, { calibration: 0 })),
    ...logs.map((log, index) => eventOf(`drive-${index + 1}`, `log-${index + 1}.gpx`, log)),
  ]
  return makePacket([...records, ...drives], { events })
}

function driveOf({ started, ended, durationSeconds, movingSeconds }: LogParts): DriveReading {
  return {
    started: started ? dateOf(started) : null,
    ended: ended ? dateOf(ended) : null,
    durationSeconds: durationSeconds ?? null,
    distanceMetres: null,
    points: 100,
    movingSeconds: movingSeconds ?? null,
    meanSpeedKmh: null,
    maxSpeedKmh: null,
    start: null,
    end: null,
  }
}

function eventOf(id: string, file: string, { started, ended }: LogParts | RunParts, rest = {}) {
  const [start, end] = [started, ended].map((time) => {
    if (time === undefined) return null
    const { earliest, latest } = dateOf(time)
    return [earliest, latest] as const
  })
  return makeEvent(id, start ?? null, end ?? null, { file, ...rest })
}
