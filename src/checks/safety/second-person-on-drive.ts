/**
 * Somebody other than the driver watched the instrument on the drive. The record of the calibration speaks first; where it
 * says nothing of who was in the vehicle, a statement, a drive log or packet.yaml may. Advice printed on a form ("a second
 * person watches the tool") is no record that it was followed.
 */
import type { Packet } from '../../packet/packet.ts'
import { type CalibrationFile, calibrationFiles } from '../calibration-files.ts'
import type { Check, Outcome } from '../check.ts'
import { distinctPlaces, findPlaces } from '../places.ts'
import { type CrewAnswer, crewOf, declaredCrew, judgeCrew } from './drive-crew.ts'

export const secondPersonOnDrive: Check = {
  id: 'second-person-on-drive',
  group: 'safety',
  claim: 'On the drive of every dynamic calibration a second person watched the instrument.',
  messages: {
    'two-named': { state: 'met', text: '{calibration}: {driver} drove and {observer} watched the instrument.' },
    'observer-beside-technician': {
      state: 'met',
      text: '{calibration}: {observer} watched the instrument, beside the technician {technician}.',
    },
    said: { state: 'met', text: '{calibration}: {source} says that a second person watched.' },
    'one-person': {
      state: 'unmet',
      text: '{calibration}: {driver} is named both as the driver and as who watched the instrument ({observer}).',
    },
    'names-unclear': {
      state: 'undecided',
      text: '{calibration}: it cannot be told whether {driver}, who drove, and {observer}, who watched the instrument, are two people.',
    },
    'one-named': {
      state: 'undecided',
      text: '{calibration}: only {names} is named on the drive, so that nothing tells of a second person.',
    },
    'not-said': {
      state: 'undecided',
      text: '{calibration}: nothing says who watched the instrument while the driver drove.',
    },
    'no-dynamic': { state: 'undecided', text: 'The packet holds no record of a dynamic calibration.' },
  },
  parameters: {},
  remedy: 'A record or a signed statement of who drove and who watched the instrument.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'the question whether the driver had the road in view',
    owner: 'a drive on the public road that may have been unsafe',
  },
  collect: [
    {
      step: 'dynamic',
      per: 'dynamic',
      text: 'The names of who drove and of who watched the instrument for {subject}: two people, the driver never reads it',
    },
  ],
  run(packet) {
    const files = calibrationFiles(packet).flatMap(({ document, records }): CalibrationFile[] => {
      const dynamic = records.filter(({ reading }) => reading.method === 'dynamic')
      return dynamic.length > 0 ? [{ document, records: dynamic }] : []
    })
    if (files.length === 0) return [{ state: 'undecided', message: 'no-dynamic', data: {}, evidence: [] }]
    return files.map((file) => describe(file, judgeDrive(packet, file)))
  },
}

const others = new Set(['statement', 'drive-log', 'other'])

function judgeDrive(packet: Packet, { document }: CalibrationFile): CrewAnswer {
  const own = judgeCrew(crewOf(document))
  if (own !== null && own.message !== 'one-named') return own
  const elsewhere = [
    ...packet.documents.filter(({ kind }) => others.has(kind)).map((other) => judgeCrew(crewOf(other))),
    judgeCrew(declaredCrew(packet)),
  ]
  return (
    elsewhere.find((answer) => answer !== null && answer.message !== 'one-named') ??
    own ??
    elsewhere.find(Boolean) ??
    null
  )
}

function describe({ document, records }: CalibrationFile, answer: CrewAnswer): Outcome {
  const calibration = records.map(({ label }) => label)
  const drives = records.flatMap(({ index, label }) => findPlaces(document, `calibrations.${index}`, label))
  if (answer === null) return { state: 'undecided', message: 'not-said', data: { calibration }, evidence: drives }
  const { message } = answer
  if (message === 'said') {
    const source = [...new Set(answer.places.map(({ file }) => file))]
    return {
      state: 'met',
      message,
      data: { calibration, source },
      evidence: distinctPlaces([...answer.places, ...drives]),
    }
  }
  if (message === 'one-named') {
    const names = [...new Set(answer.members.map(({ name }) => name))]
    const evidence = distinctPlaces([...answer.members.flatMap(({ places }) => places), ...drives])
    return { state: 'undecided', message, data: { calibration, names }, evidence }
  }
  const { observer } = answer
  const other = message === 'observer-beside-technician' ? answer.technician : answer.driver
  const role = message === 'observer-beside-technician' ? 'technician' : 'driver'
  const state = message === 'one-person' ? 'unmet' : message === 'names-unclear' ? 'undecided' : 'met'
  return {
    state,
    message,
    data: { calibration, observer: observer.name, [role]: other.name },
    evidence: distinctPlaces([...other.places, ...observer.places, ...drives]),
  }
}
