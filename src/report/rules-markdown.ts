/** The catalogue of checks as a page of Markdown, written from what the checks and the rulebook declare. */
import type { Check, Party, PlanScope } from '../checks/check.ts'
import type { ProcedureEntry } from '../checks/procedures.ts'
import type { AlgorithmRule } from '../facts/algorithms.ts'
import type { RetentionRule } from '../facts/retention.ts'
import type { Rulebook } from '../rulebook/rulebook.ts'
import { codeSpan, escapeMarkdown } from './markdown.ts'
import { stepTitles } from './plan-words.ts'
import { describeRule, type RuleDescription } from './rule-data.ts'
import { spellOut } from './rules-text.ts'
import { count, groupQuestions, supplierWords, verdictWords } from './words.ts'

/** Every check given, by group, with all that it declares, and the procedures that the rulebook knows. Stable bytes. */
export function renderRulesMarkdown(checks: readonly Check[], rulebook: Rulebook): string {
  const { name, version, effective } = rulebook
  const groups = Object.entries(groupQuestions).flatMap(([group, question]) => {
    const own = checks.filter((check) => check.group === group)
    if (own.length === 0) return []
    return [
      '',
      `## ${capitalise(group)}`,
      '',
      question,
      ...own.flatMap((check) => ['', ...describeCheck(check, rulebook, '###')]),
    ]
  })
  const lines = [
    '# The checks',
    '',
    escapeMarkdown(
      `${count(checks.length, 'check')}, weighed by the rulebook ${name} ${version} of ${effective}. Words in brackets stand for what the report puts in their place.`,
    ),
    ...groups,
    ...describeProcedures(rulebook.procedures),
    ...describeAlgorithms(rulebook.algorithms),
    ...describeRetention(rulebook.retention),
    '',
    '## Mind',
    '',
    ...rulebook.cautions.map((caution) => `- ${escapeMarkdown(caution)}`),
  ]
  return `${lines.join('\n')}\n`
}

/** One check by itself, as a page. */
export function renderRuleMarkdown(check: Check, rulebook: Rulebook): string {
  return `${describeCheck(check, rulebook, '#').join('\n')}\n`
}

const capitalise = (text: string): string => text.slice(0, 1).toUpperCase() + text.slice(1)

function describeCheck(check: Check, rulebook: Rulebook, heading: '#' | '###'): string[] {
  const rule = describeRule(check, rulebook)
  return [
    `${heading} ${check.id}`,
    '',
    `**${escapeMarkdown(rule.claim)}**`,
    ...(rule.off === null ? [] : ['', `Left out by this rulebook: ${escapeMarkdown(rule.off)}`]),
    '',
    'It can say:',
    '',
    ...rule.messages.map(
      ({ id, verdict, text }) => `- ${verdictWords[verdict]} ${codeSpan(id)}: ${escapeMarkdown(spellOut(text))}`,
    ),
    ...describeParameters(rule),
    '',
    ...describePeople(rule),
  ]
}

function describeParameters({ parameters }: RuleDescription): string[] {
  if (parameters.length === 0) return []
  const lines = parameters.map(
    ({ name, meaning, value }) => `- ${codeSpan(name)} ${codeSpan(JSON.stringify(value))}: ${escapeMarkdown(meaning)}`,
  )
  return ['', 'Values that a rulebook may set:', '', ...lines]
}

const partyWords: Record<Party, string> = {
  shop: 'The shop',
  calibrator: 'Whoever calibrated',
  insurer: 'The insurer',
  owner: 'The owner',
}

const scopeWords: Record<PlanScope, string> = {
  job: 'once',
  repair: 'for each repair',
  alignment: 'for each alignment',
  calibration: 'for each calibration',
  static: 'for each static calibration',
  dynamic: 'for each dynamic calibration',
  initialisation: 'for each initialisation',
  'replaced-sensor': 'for each sensor that is replaced',
}

function describePeople({ basis, remedy, suppliers, settledWith, exposes, collect }: RuleDescription): string[] {
  const whole = settledWith === 'vehicle' ? 'with the vehicle at hand' : 'from papers'
  const from = suppliers.map((supplier) => supplierWords[supplier]).join(', ')
  return [
    `- Source: ${escapeMarkdown(basis)}`,
    `- To settle it, ${whole}: ${escapeMarkdown(remedy)} To be had from: ${escapeMarkdown(from)}.`,
    ...Object.entries(exposes).map(
      ([party, risk]) => `- ${partyWords[party as Party]} is exposed to ${escapeMarkdown(risk)}.`,
    ),
    ...collect.map(
      ({ step, per, text }) =>
        `- To save, ${scopeWords[per]} (${escapeMarkdown(stepTitles[step])}): ${escapeMarkdown(spellOut(text))}.`,
    ),
    ...(collect.length === 0 ? ['- To save: nothing beside what other checks ask for.'] : []),
  ]
}

function describeProcedures(procedures: readonly ProcedureEntry[]): string[] {
  if (procedures.length === 0) return []
  const entries = procedures.map((entry) => {
    const reach = [
      (entry.sensors ?? ['every sensor']).map((sensor) => sensor.replaceAll('-', ' ')).join(', '),
      (entry.methods ?? ['every method']).join(', '),
      ...(entry.for === undefined ? [] : [`for ${JSON.stringify(entry.for)}`]),
    ].join('; ')
    const values = Object.entries(entry.values).map(([key, value]) => codeSpan(`${key} ${JSON.stringify(value)}`))
    return `- ${escapeMarkdown(capitalise(reach))}: ${values.join(', ')}. ${escapeMarkdown(entry.basis)}`
  })
  return [
    '',
    '## Procedures',
    '',
    'What is usual and what is possible. A later entry overrules an earlier one value by value.',
    '',
    ...entries,
  ]
}

function describeAlgorithms(algorithms: readonly AlgorithmRule[]): string[] {
  if (algorithms.length === 0) return []
  const entries = algorithms.map(({ name, leastBits, until, basis }) => {
    const reach = leastBits === undefined ? codeSpan(name) : `${codeSpan(name)} from ${leastBits} bits`
    return `- ${reach}: ${until === undefined ? 'without an end' : `to ${until}`}. ${escapeMarkdown(basis)}`
  })
  return ['', '## Algorithms of a seal', '', 'What is not listed is not relied on.', '', ...entries]
}

function describeRetention(rules: readonly RetentionRule[]): string[] {
  if (rules.length === 0) return []
  const entries = rules.map(({ name, verdicts, keepYears, basis }) => {
    const which = verdicts === undefined ? 'every packet' : `packets whose last verdict is ${verdicts.join(' or ')}`
    return `- ${codeSpan(name)}: ${which}, ${keepYears} years from receipt. ${escapeMarkdown(basis)}`
  })
  return ['', '## How long an archive keeps a packet', '', 'The longest of the rules that fit counts.', '', ...entries]
}
