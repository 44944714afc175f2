/** The vocabulary: what the words of instruments and shops mean, read from YAML of the shape of `vocabulary.yaml`. */
import { LineCounter, parseDocument } from 'yaml'
import schema from '../../schemas/vocabulary.schema.json' with { type: 'json' }
import type {
  CalibrationMethod,
  CalibrationOutcome,
  ConditionKind,
  DocumentKind,
  ModuleState,
  OperationKind,
  Sensor,
  VehicleSystem,
} from './document.ts'
import { type Aliases, fold, type Lexicon, makeLexicon, tokensOf } from './phrases.ts'
import { checkBySchema } from './schema-check.ts'

type Phrases = (string | number)[]

/** The parsed page, as in `vocabulary.yaml`. */
export interface VocabularyPage {
  vocabulary: 1
  aliases?: Record<string, string>
  labels?: Record<string, Phrases>
  columns?: Record<string, Phrases>
  moduleStates?: Record<string, Phrases>
  methods?: Record<string, Phrases>
  outcomes?: Record<string, Phrases>
  valueChecks?: Record<string, Phrases>
  conditions?: Record<string, Phrases>
  sensors?: Record<string, Phrases>
  positions?: Record<string, Phrases>
  systems?: Record<string, Phrases>
  headings?: Record<string, Record<string, Phrases>>
  operations?: Record<string, Phrases> & { calls?: CallRule[] }
  statements?: Record<string, Phrases>
  photos?: Record<string, Phrases>
}

export interface CallRule {
  any: string[]
  not?: string[]
  calls: Sensor[]
}

export type LabelKey =
  | 'vin'
  | 'date'
  | 'time'
  | 'startDate'
  | 'started'
  | 'ended'
  | 'duration'
  | 'distance'
  | 'odometer'
  | 'plate'
  | 'jobNumber'
  | 'claimNumber'
  | 'batteryVolts'
  | 'technician'
  | 'instrumentName'
  | 'instrumentSerial'
  | 'instrumentSoftware'
  | 'vehicle'
  | 'year'
  | 'make'
  | 'model'
  | 'method'
  | 'procedure'
  | 'serial'
  | 'part'
  | 'progress'
  | 'attempts'
  | 'outcome'
  | 'sensor'
  | 'position'
  | 'codeCount'
  | 'moduleCount'
  | 'expiry'
  | 'lossDate'
  | 'otherDate'
  | 'documentNumber'
  | 'insurer'
  | 'customer'
  | 'shop'
  | 'driver'
  | 'observer'
  | 'reviewer'
  | 'author'
  | 'preconditions'
  | 'calibrationData'
  | 'equipmentOther'
  | 'money'
  | 'notes'

export type ColumnRole =
  | 'module'
  | 'state'
  | 'code'
  | 'text'
  | 'failureType'
  | 'status'
  | 'statusByte'
  | 'count'
  | 'name'
  | 'actual'
  | 'before'
  | 'least'
  | 'most'
  | 'nominal'
  | 'tolerance'
  | 'limits'
  | 'check'
  | 'unit'
  | 'description'
  | 'amount'
  | 'unitPrice'
  | 'quantity'
  | 'lineNumber'
  | 'operationCode'
  | 'serial'
  | 'part'
  | 'sensor'
  | 'method'
  | 'started'
  | 'ended'
  | 'progress'
  | 'outcome'
  | 'run'
  | 'at'
  | 'address'

export interface Vocabulary {
  aliases: Aliases
  labels: Lexicon<LabelKey>
  columns: Lexicon<ColumnRole>
  moduleStates: Lexicon<ModuleState>
  methods: Lexicon<CalibrationMethod>
  outcomes: Lexicon<CalibrationOutcome>
  valueChecks: Lexicon<'ok' | 'out'>
  /** `placard` names the pressure wanted, not a condition of its own. */
  conditions: Lexicon<ConditionKind | 'placard'>
  sensors: Lexicon<Sensor>
  positions: Lexicon<string>
  systems: Lexicon<VehicleSystem>
  /** Keys are `kind:weight`. */
  headings: Lexicon<`${DocumentKind}:${number}`>
  operations: Lexicon<OperationKind | 'totals' | 'scanBefore' | 'scanAfter'>
  calls: { any: Lexicon<'any'>; not: Lexicon<'not'>; sensors: Sensor[] }[]
  statements: Lexicon<'codes-cleared' | 'released' | 'repaired' | 'watched'>
  /** `editor`: programs that change pictures; the others: what a photo shows, by its name or caption. */
  photos: Lexicon<'editor' | 'targets' | 'screen' | 'other'>
  tokens(text: string): string[]
}

/** A vocabulary page that cannot be used: every fault of the page at once, with line and column. */
export class VocabularyError extends Error {
  override name = 'VocabularyError'
}

const checkShape = checkBySchema<VocabularyPage>(schema)

/**
 * Reads one vocabulary page. `name` is the file's name for messages. Throws `VocabularyError` naming line, column and
 * what was expected, all faults at once.
 */
export function parseVocabularyPage(text: string, name: string): VocabularyPage {
  const lines = new LineCounter()
  const page = parseDocument(text, { lineCounter: lines, maxAliasCount: 0 } as Parameters<typeof parseDocument>[1])
  const faults = page.errors.map((error) => {
    const at = error.linePos?.[0]
    return `${name}:${at?.line ?? 1}:${at?.col ?? 1}: ${error.message.split('\n')[0]}`
  })
  if (faults.length > 0) throw new VocabularyError(faults.join('\n'))
  const { value, errors } = checkShape(page.toJS({ maxAliasCount: 0 }))
  if (value !== null) return value
  for (const error of errors) {
    const path = error.instancePath.split('/').slice(1)
    const node = page.getIn(path, true) as { range?: [number, number, number] } | undefined
    const at = lines.linePos(node?.range?.[0] ?? 0)
    const extra = error.keyword === 'additionalProperties' ? ` "${error.params.additionalProperty}"` : ''
    faults.push(`${name}:${at.line}:${at.col}: ${path.join('.') || 'page'} ${error.message}${extra}`)
  }
  throw new VocabularyError(faults.join('\n'))
}

function joinPages(pages: readonly VocabularyPage[]): VocabularyPage {
  const joined: Record<string, unknown> = {}
  const merge = (into: Record<string, unknown>, from: object) => {
    for (const [key, value] of Object.entries(from)) {
      const have = into[key]
      if (Array.isArray(value)) into[key] = [...(Array.isArray(have) ? have : []), ...value]
      else if (typeof value === 'object' && value !== null) {
        const inner = { ...(typeof have === 'object' ? have : {}) } as Record<string, unknown>
        merge(inner, value)
        into[key] = inner
      } else into[key] = value
    }
  }
  for (const page of pages) merge(joined, page)
  return joined as unknown as VocabularyPage
}

/** Compiles vocabulary pages, the shipped one first; later pages add phrases. */
export function compileVocabulary(pages: readonly VocabularyPage[]): Vocabulary {
  const page = joinPages(pages)
  const aliases = new Map<string, readonly string[]>()
  for (const [from, to] of Object.entries(page.aliases ?? {})) aliases.set(fold(from), String(to).split(' '))
  const { calls = [], ...operations } = page.operations ?? {}
  const headings: Record<string, Phrases> = {}
  for (const [kind, weights] of Object.entries(page.headings ?? {})) {
    for (const [weight, phrases] of Object.entries(weights)) headings[`${kind}:${weight}`] = phrases
  }
  const lexicon = <Key extends string>(lists: Record<string, Phrases> | undefined) =>
    makeLexicon<Key>((lists ?? {}) as Record<Key, Phrases>, aliases)
  return {
    aliases,
    labels: lexicon(page.labels),
    columns: lexicon(page.columns),
    moduleStates: lexicon(page.moduleStates),
    methods: lexicon(page.methods),
    outcomes: lexicon(page.outcomes),
    valueChecks: lexicon(page.valueChecks),
    conditions: lexicon(page.conditions),
    sensors: lexicon(page.sensors),
    positions: lexicon(page.positions),
    systems: lexicon(page.systems),
    headings: lexicon(headings),
    operations: lexicon(operations as Record<string, Phrases>),
    calls: calls.map((rule) => ({
      any: lexicon({ any: rule.any }),
      not: lexicon({ not: rule.not ?? [] }),
      sensors: rule.calls,
    })),
    statements: lexicon(page.statements),
    photos: lexicon(page.photos),
    tokens: (text) => tokensOf(text, aliases),
  }
}
