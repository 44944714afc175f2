/** Fuel, cargo and ride height before a calibration: what the vehicle carried, and how high it stood. */
import type { Check, Outcome } from '../check.ts'
import { numberParameter } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import {
  findConditions,
  findPrepared,
  isOut,
  judgeLack,
  lackMessages,
  lackParameters,
  notAsked,
  preparationSources,
} from './stated-conditions.ts'

const kinds = ['fuel', 'load', 'ride-height'] as const

export const loadRecorded: Check = {
  id: 'load-recorded',
  group: 'preconditions',
  claim: 'Fuel, cargo or ride height was recorded for the calibrations that ask for it, and is in order.',
  messages: {
    out: { state: 'unmet', text: '{file} states "{text}" for the {what}, which is out of its limits.' },
    recorded: { state: 'met', text: 'Recorded in {files}: {what}.' },
    ...lackMessages('fuel, cargo or ride height'),
  },
  parameters: lackParameters,
  remedy: 'Fuel, cargo and ride height as they were before the calibration.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: { calibrator: 'a calibration made on a vehicle that did not stand as the procedure asks' },
  collect: [
    {
      step: 'preparation',
      per: 'job',
      text: 'Write down the fuel level, what the vehicle carries, and the ride height where the procedure asks for it',
    },
  ],
  run(packet, parameters, procedures) {
    const prepared = findPrepared(packet, procedures, ['load', 'ride-height'])
    if (prepared.length === 0) return [notAsked]
    const found = findConditions(packet, kinds)
    if (found.length === 0) {
      const leastOthers = numberParameter(parameters, 'leastOthers')
      const words = /\b(?:fuel|cargo|luggage|load(?:ed)?|ride height|unladen|tank)\b/i
      return [judgeLack(packet, { prepared, kinds, words, leastOthers })]
    }
    const sources = preparationSources(prepared)
    const unmet = found
      .filter(({ condition }) => isOut(condition))
      .map(({ document, condition, places }): Outcome => {
        const data = { file: document.file, text: condition.text, what: condition.about.replace('-', ' ') }
        return { state: 'unmet', message: 'out', data, evidence: places, sources }
      })
    if (unmet.length > 0) return unmet
    const files = [...new Set(found.map(({ document }) => document.file))]
    const what = [...new Set(found.map(({ condition }) => condition.about.replace('-', ' ')))]
    const evidence = distinctPlaces(found.flatMap(({ places }) => places))
    return [{ state: 'met', message: 'recorded', data: { files, what }, evidence, sources }]
  },
}
