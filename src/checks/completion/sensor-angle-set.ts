/**
 * The angle of a sensor that was struck or replaced, where its procedure asks for it to be set or measured. A sensor
 * counts as such where a repair line or packet.yaml says that it, or what it is mounted on, was replaced or repaired. What a
 * drive has learned is the result of the drive and not what was set before it.
 */
import type { CalibrationMethod } from '../../facts/document.ts'
import { agreesInPosition } from '../../facts/position.ts'
import type { Packet } from '../../packet/packet.ts'
import { type CalibrationRecord, calibrationRecords, completedAfter, finalAttempt } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { collectReplaced } from '../identity/serial-statements.ts'
import { listParameter } from '../parameters.ts'
import { distinctPlaces, findPlaces, nameSensor } from '../places.ts'
import { findProcedure, type ProcedureEntry, sourcesOf } from '../procedures.ts'
import { findAngles } from '../sensor-angles.ts'
import { wasRead } from '../unread.ts'

export const sensorAngleSet: Check = {
  id: 'sensor-angle-set',
  group: 'completion',
  claim: 'The angle of each sensor that was struck or replaced is stated and lies within its limits.',
  messages: {
    set: { state: 'met', text: 'The angle of the {sensor} is stated in {files} and lies within its limits.' },
    out: {
      state: 'unmet',
      text: '{name} of the {sensor} is {value} in {file}, outside its limits ({least} to {most}).',
    },
    'limits-not-stated': {
      state: 'undecided',
      text: 'The angle of the {sensor} is stated in {files} without the limits that it must keep.',
    },
    'not-stated': {
      state: 'undecided',
      text: 'The {sensor} or its mount was worked on ("{repair}"), and no record states at what angle it was set.',
    },
    unread: {
      state: 'undecided',
      text: 'The {sensor} or its mount was worked on ("{repair}"); {files} could not be read in full and may state its angle.',
    },
    'not-applicable': {
      state: 'undecided',
      text: 'The packet tells of no calibrated sensor that was struck or replaced and whose procedure asks for its angle.',
    },
  },
  parameters: {
    sensors: 'Sensors that are aimed by their mount.',
    mountWords: 'Words of a repair, in lower case, that name what a sensor is mounted on.',
  },
  remedy: 'The angle as it was measured at the sensor or read from it, with its limits.',
  suppliers: ['calibrator'],
  settledWith: 'vehicle',
  exposes: {
    calibrator: 'a calibration of a sensor that was not set before it',
    owner: 'driving with a sensor that may not be aimed',
  },
  collect: [
    {
      step: 'preparation',
      per: 'replaced-sensor',
      text: 'The angle of {subject} as set or measured before its calibration, with its limits',
    },
  ],
  run(packet, parameters, procedures) {
    const touched = collectTouched(
      packet,
      listParameter(parameters, 'sensors'),
      listParameter(parameters, 'mountWords'),
    )
    const records = calibrationRecords(packet)
    const outcomes = touched.flatMap((one) => judge(packet, one, records, procedures))
    if (outcomes.length > 0) return outcomes
    return [{ state: 'undecided', message: 'not-applicable', data: {}, evidence: [] }]
  },
}

type Touched = ReturnType<typeof collectReplaced>[number]

/** Sensors that were replaced, and those whose mount was; each once. */
function collectTouched(packet: Packet, sensors: readonly string[], mountWords: readonly string[]): Touched[] {
  const mounts = packet.documents.flatMap((document) =>
    (document.operations ?? []).flatMap((operation, index): Touched[] => {
      const words = operation.text.toLowerCase()
      if (operation.kind !== 'repair' || !mountWords.some((word) => words.includes(word))) return []
      const evidence = findPlaces(document, `operations.${index}`, operation.text)
      return operation.calls.map((sensor) => ({
        sensor,
        position: operation.position ?? null,
        text: operation.text,
        evidence,
      }))
    }),
  )
  const all = [...collectReplaced(packet), ...mounts].filter(({ sensor }) => sensors.includes(sensor))
  return all.filter((one, index) => {
    return (
      all.findIndex((other) => other.sensor === one.sensor && agreesInPosition(other.position, one.position)) === index
    )
  })
}

function judge(
  packet: Packet,
  touched: Touched,
  all: readonly CalibrationRecord[],
  procedures: readonly ProcedureEntry[],
): Outcome[] {
  const records = all.filter(({ reading }) => {
    const isSame = reading.sensor === touched.sensor && agreesInPosition(reading.position, touched.position)
    const { values } = findProcedure(procedures, packet, reading.sensor, reading.method)
    return isSame && values.angleFirst === true && finalAttempt(reading).outcome !== 'not-performed'
  })
  return records.length === 0
    ? []
    : judgeRecords(
        touched,
        records.filter((record) => !isSuperseded(packet, all, record)),
        (method) => {
          return sourcesOf(findProcedure(procedures, packet, touched.sensor, method), 'angleFirst')
        },
      )
}

/** What an unsuccessful run measured was measured again by the run that followed it. */
function isSuperseded(packet: Packet, all: readonly CalibrationRecord[], record: CalibrationRecord): boolean {
  return finalAttempt(record.reading).outcome !== 'completed' && completedAfter(packet, all, record)?.certain === true
}

function judgeRecords(
  touched: Touched,
  records: readonly CalibrationRecord[],
  sourcesFor: (method: CalibrationMethod) => string[],
): Outcome[] {
  const [first] = records
  if (first === undefined) return []
  const sources = sourcesFor(first.reading.method)
  const sensor = nameSensor(touched.sensor, touched.position ?? first.reading.position)
  const angles = records.flatMap((record) => findAngles(record.reading).map((angle) => ({ record, ...angle })))
  const placesOf = ({ record, index }: (typeof angles)[number]) =>
    findPlaces(record.document, `calibrations.${record.index}.values.${index}`)
  const out = angles.filter(({ value: { value, least, most, stated } }) => {
    return stated === 'out' || (least !== undefined && value < least) || (most !== undefined && value > most)
  })
  if (out.length > 0) {
    return out.map((angle): Outcome => {
      const { name, value, unit, least, most } = angle.value
      const data = {
        name,
        sensor,
        value: unit === null ? value : `${value} ${unit}`,
        file: angle.record.document.file,
        least: least ?? null,
        most: most ?? null,
      }
      const evidence = distinctPlaces([...placesOf(angle), ...touched.evidence])
      return { state: 'unmet', message: 'out', data, evidence, sources }
    })
  }
  const limited = angles.filter(
    ({ value }) => value.least !== undefined || value.most !== undefined || value.stated === 'ok',
  )
  const shown = limited.length > 0 ? limited : angles
  if (shown.length > 0) {
    const files = [...new Set(shown.map(({ record }) => record.document.file))]
    const evidence = distinctPlaces([...shown.flatMap(placesOf), ...touched.evidence])
    const [state, message] =
      limited.length > 0 ? (['met', 'set'] as const) : (['undecided', 'limits-not-stated'] as const)
    return [{ state, message, data: { sensor, files }, evidence, sources }]
  }
  const unread = records.filter(({ document }) => !wasRead(document)).map(({ document }) => document.file)
  const data = { sensor, repair: touched.text, files: unread }
  const message = unread.length > 0 ? 'unread' : 'not-stated'
  return [{ state: 'undecided', message, data, evidence: touched.evidence, sources }]
}
