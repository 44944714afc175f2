/**
 * The floor of the bay and the place of the targets. 5 mm over 2 m of floor tilt a sensor by 0.143 degree, which is 125 mm
 * at 50 m (arithmetic).
 */
import type { ConditionKind } from '../../facts/document.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome, Parameter } from '../check.ts'
import { numberParameter } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import type { ProcedureEntry } from '../procedures.ts'
import {
  findConditions,
  findPrepared,
  isOut,
  judgeLack,
  lackMessages,
  lackParameters,
  notAsked,
  preparationSources,
  type StatedCondition,
} from './stated-conditions.ts'

const targets: readonly ConditionKind[] = ['target-distance', 'target-height', 'target-position']

export const floorAndTargetsMeasured: Check = {
  id: 'floor-and-targets-measured',
  group: 'preconditions',
  claim:
    'The floor and the place of the targets were recorded for the calibrations that ask for it, within their limits.',
  messages: {
    out: { state: 'unmet', text: '{file} states {what} as "{text}", outside {limits}.' },
    'stated-out': { state: 'unmet', text: '{file} calls {what} out of order: "{text}".' },
    measured: { state: 'met', text: 'Recorded in {files}: {what}.' },
    'floor-not-recorded': {
      state: 'undecided',
      text: 'The place of the targets stands in {files}; no file speaks of the floor.',
    },
    'targets-not-recorded': {
      state: 'undecided',
      text: 'The floor stands in {files}; no file speaks of the place of the targets.',
    },
    ...lackMessages('floor and targets'),
  },
  parameters: lackParameters,
  remedy: 'The measured floor, distance, height and centering of the targets, or both measured again.',
  suppliers: ['calibrator'],
  settledWith: 'papers',
  exposes: { calibrator: 'a sensor aimed by a target that did not stand where it should' },
  collect: [
    {
      step: 'static',
      per: 'static',
      text: 'Write down how level the floor is, and the distance, height and centering of the target for the {subject}',
    },
  ],
  run(packet, parameters, procedures) {
    const floor = judgePart(packet, parameters, procedures, 'floor')
    const target = judgePart(packet, parameters, procedures, 'targets')
    const parts = [floor, target].filter((outcome) => outcome !== null)
    if (parts.length === 0) return [notAsked]
    const unmet = parts.flat().filter(({ state }) => state === 'unmet')
    if (unmet.length > 0) return unmet
    const met = parts.flat().filter(({ state }) => state === 'met')
    const [lack] = parts.flat().filter(({ state }) => state === 'undecided')
    if (met.length === 0 && lack !== undefined) return [lack]
    const files = [...new Set(met.flatMap(({ data }) => data.files as string[]))]
    const evidence = distinctPlaces(met.flatMap((outcome) => outcome.evidence))
    const sources = [...new Set(met.flatMap((outcome) => outcome.sources ?? []))]
    if (lack !== undefined) {
      const message = lack === floor?.[0] ? 'floor-not-recorded' : 'targets-not-recorded'
      return [{ state: 'undecided', message, data: { files }, evidence, sources }]
    }
    const what = [...new Set(met.flatMap(({ data }) => data.what as string[]))]
    return [{ state: 'met', message: 'measured', data: { files, what }, evidence, sources }]
  },
}

/** The outcomes for the floor or for the targets alone; null where no calibration asks for it. */
function judgePart(
  packet: Packet,
  parameters: Readonly<Record<string, Parameter>>,
  procedures: readonly ProcedureEntry[],
  part: 'floor' | 'targets',
): Outcome[] | null {
  const prepared = findPrepared(packet, procedures, [part === 'floor' ? 'floor' : 'target-position'])
  if (prepared.length === 0) return null
  const kinds: readonly ConditionKind[] = part === 'floor' ? ['floor'] : targets
  const found = findConditions(packet, kinds)
  if (found.length === 0) {
    const words = part === 'floor' ? /\bfloor\b/i : /\b(?:target|board|panel|reflector|pattern|mat)s?\b.*\d/i
    const leastOthers = numberParameter(parameters, 'leastOthers')
    return [judgeLack(packet, { prepared, kinds, words, leastOthers })]
  }
  const sources = preparationSources(prepared)
  const unmet = found.filter(({ condition }) => isOut(condition)).map((one) => ({ ...tellOut(one), sources }))
  if (unmet.length > 0) return unmet
  const data = {
    files: [...new Set(found.map(({ document }) => document.file))],
    what: [...new Set(found.map(({ condition }) => nameOf(condition.about)))],
  }
  const evidence = distinctPlaces(found.flatMap(({ places }) => places))
  return [{ state: 'met', message: 'measured', data, evidence, sources }]
}

const nameOf = (about: ConditionKind) => about.replace('-', ' ')

function tellOut({ document, condition, places }: StatedCondition): Outcome {
  const { about, text, value, least, most, unit = '' } = condition
  const data = { file: document.file, what: nameOf(about), text }
  const outside =
    value !== undefined && ((least !== undefined && value < least) || (most !== undefined && value > most))
  if (!outside) return { state: 'unmet', message: 'stated-out', data, evidence: places }
  const limits = [
    ...(least === undefined ? [] : [`at least ${least}`]),
    ...(most === undefined ? [] : [`at most ${most}`]),
  ].join(' and ')
  const working = [{ text: '{value} {unit} is not {limits}', data: { value, unit, limits } }]
  return {
    state: 'unmet',
    message: 'out',
    data: { ...data, limits: `${limits} ${unit}`.trim() },
    evidence: places,
    working,
  }
}
