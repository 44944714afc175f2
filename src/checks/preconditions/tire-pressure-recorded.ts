/** Tire pressures before a calibration. They set the height and the tilt of the body, and with it where a sensor looks. */
import type { Condition } from '../../facts/document.ts'
import type { Check, Outcome, WorkingStep } from '../check.ts'
import { numberParameter } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import {
  findConditions,
  findPrepared,
  judgeLack,
  lackMessages,
  lackParameters,
  notAsked,
  preparationSources,
  type StatedCondition,
} from './stated-conditions.ts'

export const tirePressureRecorded: Check = {
  id: 'tire-pressure-recorded',
  group: 'preconditions',
  claim: 'The tire pressures were recorded for the calibrations that ask for them, and are near the placard.',
  messages: {
    'far-off': {
      state: 'unmet',
      text: '{file} states {value} {unit} for {tire} where the placard asks for {wanted}: {percent} % off.',
    },
    off: {
      state: 'unmet',
      text: '{file} states {value} {unit} for {tire} where the placard asks for {wanted}: {percent} % off.',
    },
    'stated-out': { state: 'unmet', text: '{file} calls the tire pressure out of order: "{text}".' },
    'as-placard': { state: 'met', text: 'Tire pressures near the placard stand in {files}.' },
    recorded: { state: 'met', text: 'Tire pressures stand in {files}; no placard is recorded to compare them with.' },
    ...lackMessages('the tire pressures'),
  },
  parameters: {
    offShare: 'Share of the placard pressure beyond which a person must look.',
    farShare: 'Share of the placard pressure beyond which the claim is contradicted.',
    ...lackParameters,
  },
  remedy: 'The tire pressures and the placard as they were read before the calibration, or both measured again.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: { calibrator: 'a calibration made on a vehicle that did not stand as the procedure asks' },
  collect: [
    {
      step: 'preparation',
      per: 'job',
      text: 'Write down the cold pressure of each tire and the pressure on the placard',
    },
  ],
  run(packet, parameters, procedures) {
    const offShare = numberParameter(parameters, 'offShare')
    const farShare = numberParameter(parameters, 'farShare')
    const prepared = findPrepared(packet, procedures, ['tire-pressure'])
    if (prepared.length === 0) return [notAsked]
    const tires = findConditions(packet, ['tire-pressure'])
    if (tires.length === 0) {
      const leastOthers = numberParameter(parameters, 'leastOthers')
      return [
        judgeLack(packet, {
          prepared,
          kinds: ['tire-pressure'],
          words: /\b(?:tires?|tyres?|inflat\w+)\b/i,
          leastOthers,
        }),
      ]
    }
    const sources = preparationSources(prepared)
    const unmet = packet.documents.flatMap(({ file }) => {
      const outcome = judgeFile(
        tires.filter(({ document }) => document.file === file),
        offShare,
        farShare,
      )
      return outcome === null ? [] : [{ ...outcome, sources }]
    })
    if (unmet.length > 0) return unmet
    const compared = tires.some(({ condition }) => offOf(condition) !== null || condition.stated === 'ok')
    const data = { files: [...new Set(tires.map(({ document }) => document.file))] }
    const evidence = distinctPlaces(tires.flatMap(({ places }) => places))
    return [{ state: 'met', message: compared ? 'as-placard' : 'recorded', data, evidence, sources }]
  },
}

/** How far a pressure is off its placard, as a share of it; null without a placard. Both are gauge pressures of one unit. */
function offOf({ value, wanted }: Condition): number | null {
  return value === undefined || wanted === undefined ? null : Math.abs(value - wanted) / wanted
}

/** The worst tire of a file, where it is off; null where none is. */
function judgeFile(tires: readonly StatedCondition[], offShare: number, farShare: number): Outcome | null {
  const compared = tires.flatMap((tire) => {
    const off = offOf(tire.condition)
    return off === null ? [] : [{ ...tire, off }]
  })
  const [worst] = compared.toSorted((a, b) => b.off - a.off)
  if (worst !== undefined && worst.off > offShare) {
    const { document, condition, off, places } = worst
    const data = {
      file: document.file,
      value: condition.value ?? null,
      unit: condition.unit ?? '',
      tire: nameTire(condition),
      wanted: condition.wanted ?? null,
      percent: Math.round(off * 100),
    }
    const message = off > farShare ? 'far-off' : 'off'
    return { state: 'unmet', message, data, evidence: places, working: compared.map(showWork) }
  }
  const out = tires.find(({ condition }) => condition.stated === 'out')
  if (out === undefined) return null
  const data = { file: out.document.file, text: out.condition.text }
  return { state: 'unmet', message: 'stated-out', data, evidence: out.places }
}

function nameTire({ wheel }: Condition): string {
  if (wheel === undefined) return 'the tires'
  return wheel.includes('-') ? `the ${wheel.replace('-', ' ')} tire` : `the ${wheel} tires`
}

function showWork({ condition, off }: StatedCondition & { off: number }): WorkingStep {
  return {
    text: '{tire}: {value} and {wanted} {unit} differ by {percent} % of {wanted}',
    data: {
      tire: nameTire(condition),
      value: condition.value ?? null,
      wanted: condition.wanted ?? null,
      unit: condition.unit ?? '',
      percent: Math.round(off * 1000) / 10,
    },
  }
}
