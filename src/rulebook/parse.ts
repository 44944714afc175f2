/** Reads a rulebook: bytes → rules for every check, or every fault of the file at once. */
import { createHash } from 'node:crypto'
import type { Check, Parameter } from '../checks/check.ts'
import { identify, type Rule, type Rulebook, type RulebookFault, type RuleOrigin, type Severity } from './rulebook.ts'
import { type RulebookFile, type RuleEntry, suggest, validateShape } from './schema.ts'
import { parseSource, type Source } from './source.ts'

export type RulebookResult = { rulebook: Rulebook; faults: null } | { rulebook: null; faults: RulebookFault[] }

/**
 * Parses a rulebook file (YAML 1.2, UTF-8) against the checks that it is to weigh.
 *
 * A rulebook that `extends` one of `bases` states only what it changes; one that extends nothing states a basis, every
 * severity and every parameter of every check. Each fault says where it stands and what was expected.
 */
export function parseRulebook(
  bytes: Uint8Array,
  checks: readonly Check[],
  bases: readonly Rulebook[] = [],
): RulebookResult {
  const source = parseSource(new TextDecoder('utf-8').decode(bytes))
  const faults = [...source.faults]
  const file = faults.length === 0 ? validateShape(source, faults) : null
  if (file === null) return { rulebook: null, faults: sortFaults(faults) }
  const base = findBase(source, file, bases, faults)
  const rules = readRules(source, file, checks, base, faults)
  checkRanges(source, file, faults)
  checkDays(source, file, faults)
  if (faults.length > 0) return { rulebook: null, faults: sortFaults(faults) }
  const rulebook: Rulebook = {
    name: file.name,
    version: file.version,
    effective: file.effective,
    sha256: createHash('sha256').update(bytes).digest('hex'),
    cautions: file.cautions ?? base?.cautions ?? [],
    procedures: [...(base?.procedures ?? []), ...(file.procedures ?? [])],
    algorithms: mergeByName(base?.algorithms ?? [], file.algorithms ?? []),
    retention: mergeByName(base?.retention ?? [], file.retention ?? []),
    rules,
  }
  if (base) rulebook.extends = identify(base)
  return { rulebook, faults: null }
}

/** "line 12, column 5: checks has no check …", one fault a line. */
export function formatFaults(faults: readonly RulebookFault[]): string {
  return faults.map((fault) => `line ${fault.line}, column ${fault.column}: ${fault.message}`).join('\n')
}

function sortFaults(faults: RulebookFault[]): RulebookFault[] {
  return faults.sort((a, b) => a.line - b.line || a.column - b.column || (a.message < b.message ? -1 : 1))
}

/** Pairs of least and most stand in that order. */
function checkRanges(source: Source, file: RulebookFile, faults: RulebookFault[]): void {
  for (const [index, entry] of (file.procedures ?? []).entries()) {
    const path = ['procedures', index]
    const pairs = Object.entries(entry.values).map(([key, value]) => [['values', key], value] as const)
    for (const [rest, value] of [...pairs, [['for', 'years'], entry.for?.years] as const]) {
      if (!Array.isArray(value) || typeof value[0] !== 'number' || value[0] <= value[1]) continue
      faults.push(
        source.faultAt(
          [...path, ...rest],
          `${rest.at(-1)} must give the lesser value first, not ${JSON.stringify(value)}`,
        ),
      )
    }
  }
}

function checkDays(source: Source, file: RulebookFile, faults: RulebookFault[]): void {
  const ends = (file.algorithms ?? []).map(({ until }, index) => [['algorithms', index, 'until'], until] as const)
  for (const [path, day] of [[['effective'], file.effective] as const, ...ends]) {
    if (day === undefined || isDay(day)) continue
    faults.push(source.faultAt([...path], `${path.at(-1)} is no day of the calendar: ${day}`))
  }
}

/** An end that a rulebook brings forward must not be undone by the longer one below it: a name is replaced as a whole. */
function mergeByName<Entry extends { name: string }>(below: readonly Entry[], own: readonly Entry[]): Entry[] {
  const replaced = new Set(own.map(({ name }) => name))
  return [...below.filter(({ name }) => !replaced.has(name)), ...own]
}

function isDay(text: string): boolean {
  const date = new Date(`${text}T00:00:00Z`)
  return !Number.isNaN(date.getTime()) && date.toISOString().startsWith(text)
}

function findBase(
  source: Source,
  file: RulebookFile,
  bases: readonly Rulebook[],
  faults: RulebookFault[],
): Rulebook | null {
  if (file.extends === undefined) return null
  const base = bases.find((candidate) => candidate.name === file.extends)
  if (base) return base
  const names = bases.map((candidate) => candidate.name)
  faults.push(source.faultAt(['extends'], `no rulebook "${file.extends}" to extend${suggest(file.extends, names)}`))
  return null
}

function readRules(
  source: Source,
  file: RulebookFile,
  checks: readonly Check[],
  base: Rulebook | null,
  faults: RulebookFault[],
): Record<string, Rule> {
  const ids = checks.map((check) => check.id)
  const entries = file.checks ?? {}
  for (const id of Object.keys(entries)) {
    if (!ids.includes(id)) faults.push(source.faultAtKey(['checks', id], `no check "${id}"${suggest(id, ids)}`))
  }
  // A base that could not be found must not add "lacks" faults for everything that it would have stated.
  const complete = file.extends === undefined
  const rules: Record<string, Rule> = {}
  for (const check of checks) {
    const entry = Object.hasOwn(entries, check.id) ? entries[check.id] : undefined
    const below = base?.rules[check.id]
    if (entry === undefined) {
      if (complete) faults.push(source.faultAt(['checks'], `checks lacks a rule for "${check.id}"`))
      if (below) rules[check.id] = below
      continue
    }
    const from = { rulebook: file.name, version: file.version, effective: file.effective }
    rules[check.id] = readRule(source, check, { entry, from, below, complete }, faults)
  }
  return rules
}

interface RuleParts {
  entry: RuleEntry
  from: RuleOrigin
  below: Rule | undefined
  complete: boolean
}

function readRule(source: Source, check: Check, parts: RuleParts, faults: RulebookFault[]): Rule {
  const { entry, from, below, complete } = parts
  const path = ['checks', check.id]
  const basis = entry.basis ?? below?.basis
  if (basis === undefined && complete)
    faults.push(source.faultAtKey(path, `${check.id} lacks a basis: the source of the rule`))
  readSeverities(source, check, entry.severity ?? {}, complete, faults)
  readParameters(source, check, entry.parameters ?? {}, below, complete, faults)
  return {
    basis: basis ?? '',
    severity: { ...below?.severity, ...entry.severity },
    parameters: { ...below?.parameters, ...entry.parameters },
    off: entry.off?.because ?? null,
    from,
  }
}

function readSeverities(
  source: Source,
  check: Check,
  severities: Record<string, Severity>,
  complete: boolean,
  faults: RulebookFault[],
): void {
  const weighed = Object.keys(check.messages).filter((message) => check.messages[message]?.state !== 'met')
  for (const [message, severity] of Object.entries(severities)) {
    const path = ['checks', check.id, 'severity', message]
    if (!weighed.includes(message)) {
      const met = Object.hasOwn(check.messages, message)
      const what = met
        ? `the claim is met by "${message}", which is always a pass`
        : `${check.id} has no message "${message}"`
      faults.push(source.faultAtKey(path, met ? what : `${what}${suggest(message, weighed)}`))
    } else if (check.messages[message]?.state === 'undecided' && (severity === 'pass' || severity === 'fail')) {
      faults.push(
        source.faultAt(path, `"${message}" leaves the claim undecided: it can be warn or not-checked, not ${severity}`),
      )
    }
  }
  if (!complete) return
  for (const message of weighed) {
    if (Object.hasOwn(severities, message)) continue
    faults.push(source.faultAt(['checks', check.id, 'severity'], `${check.id} lacks a severity for "${message}"`))
  }
}

function readParameters(
  source: Source,
  check: Check,
  parameters: Record<string, Parameter>,
  below: Rule | undefined,
  complete: boolean,
  faults: RulebookFault[],
): void {
  const known = Object.keys(check.parameters)
  for (const [name, value] of Object.entries(parameters)) {
    const path = ['checks', check.id, 'parameters', name]
    if (!known.includes(name)) {
      faults.push(source.faultAtKey(path, `${check.id} has no parameter "${name}"${suggest(name, known)}`))
      continue
    }
    const wanted = below?.parameters[name]
    if (wanted !== undefined && typeOf(value) !== typeOf(wanted)) {
      faults.push(
        source.faultAt(
          path,
          `${name} must be a ${typeOf(wanted)}, not ${JSON.stringify(value)}: ${check.parameters[name]}`,
        ),
      )
    }
  }
  if (!complete) return
  for (const name of known) {
    if (Object.hasOwn(parameters, name)) continue
    faults.push(
      source.faultAt(['checks', check.id], `${check.id} lacks the parameter "${name}": ${check.parameters[name]}`),
    )
  }
}

function typeOf(value: unknown): string {
  return Array.isArray(value) ? 'list' : value === null ? 'null' : typeof value
}
