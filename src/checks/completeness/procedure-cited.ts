import { readDates } from '../../facts/time.ts'
import { calibrationFiles } from '../calibration-files.ts'
import type { CalibrationRecord } from '../calibrations.ts'
import { placesOfRecord } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { listParameter } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import { recordLine } from '../shared-lines.ts'
import { wasRead } from '../unread.ts'

export const procedureCited: Check = {
  id: 'procedure-cited',
  group: 'completeness',
  claim: 'Every calibration record cites the service information that was followed, by document and date.',
  messages: {
    cited: { state: 'met', text: '{file} cites {procedures} for {calibrations}.' },
    undated: {
      state: 'unmet',
      text: '{file} cites {procedures} for {calibrations}, without the date of the document.',
    },
    'not-cited': { state: 'unmet', text: '{file} cites no service information for {calibrations}.' },
    'no-document': {
      state: 'undecided',
      text: '{file} gives "{procedures}" as the procedure of {calibrations}, which names no document.',
    },
    unread: {
      state: 'undecided',
      text: 'No service information was found for {calibrations} in {file}, which could not be read in full.',
    },
    'no-record': { state: 'undecided', text: 'The packet holds no record of such a calibration.' },
  },
  parameters: { methods: 'Methods of calibration whose record is expected to cite a procedure.' },
  remedy: 'The document that was followed, with its number and date, and the pages kept with the record.',
  suppliers: ['calibrator', 'vehicle-maker'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'being unable to show which procedure was followed',
    shop: 'being unable to show that current service information was followed',
  },
  collect: [recordLine],
  run(packet, parameters) {
    const methods = listParameter(parameters, 'methods')
    const outcomes = calibrationFiles(packet).flatMap(({ records }) => {
      const wanted = records.filter(({ reading }) => methods.includes(reading.method))
      const messages = [...new Set(wanted.map(messageOf))]
      return messages.map((message) =>
        describe(
          message,
          wanted.filter((record) => messageOf(record) === message),
        ),
      )
    })
    return outcomes.length > 0 ? outcomes : [{ state: 'undecided', message: 'no-record', data: {}, evidence: [] }]
  },
}

type Message = 'cited' | 'undated' | 'not-cited' | 'no-document' | 'unread'

const states = {
  cited: 'met',
  undated: 'unmet',
  'not-cited': 'unmet',
  'no-document': 'undecided',
  unread: 'undecided',
} as const

/** A document has a number; "10/2025" dates one as well as a full date does. */
function messageOf({ document, reading }: CalibrationRecord): Message {
  const { procedure } = reading
  if (procedure === undefined) return wasRead(document) ? 'not-cited' : 'unread'
  if (!/\d/.test(procedure)) return 'no-document'
  const dated =
    readDates(procedure, { dayFirst: null }).length > 0 || /(?<!\d)\d{1,2}[/.]\d{4}\b|\b20\d\d-\d\d\b/.test(procedure)
  return dated ? 'cited' : 'undated'
}

function describe(message: Message, records: readonly CalibrationRecord[]): Outcome {
  return {
    state: states[message],
    message,
    data: {
      file: records[0]?.document.file ?? '',
      calibrations: records.map(({ label }) => label),
      procedures: [...new Set(records.flatMap(({ reading }) => reading.procedure ?? []))],
    },
    evidence: distinctPlaces(records.flatMap((record) => placesOfRecord(record, 'procedure'))),
  }
}
