/** Findings as text: those that ask for a person in full, the others in a line each. */
import type { Finding, Report } from '../findings/report.ts'
import { type Sheet, span } from './sheet.ts'
import { describePlace, groupQuestions, verdictStyles, verdictWords } from './words.ts'

/** Places shown for one finding; what is left out is counted. */
const mostPlaces = 8

/**
 * Findings in full under a heading, in the order given, with a line for each new group; with the steps that led to their
 * values if asked for. Nothing when there are none.
 */
export function writeFindings(
  sheet: Sheet,
  heading: string,
  findings: readonly Finding[],
  { showWorking = false } = {},
): void {
  if (findings.length === 0) return
  sheet.gap()
  sheet.write([span(`${heading} (${findings.length})`, 'strong')])
  let group: Finding['group'] | null = null
  for (const finding of findings) {
    if (finding.group !== group) {
      sheet.gap()
      sheet.write([span(groupQuestions[finding.group], 'quiet')], { first: '  ' })
    }
    group = finding.group
    sheet.gap()
    writeFinding(sheet, finding, showWorking)
  }
}

function writeFinding(sheet: Sheet, finding: Finding, showWorking: boolean): void {
  const { verdict, reason, check, basis, remedy, exposes, working = [] } = finding
  sheet.write([span(verdictWords[verdict], verdictStyles[verdict]), span(` ${reason}`)], {
    first: '  ',
    rest: '       ',
  })
  const field = (label: string, text: string) => sheet.label(label, text, { indent: 7, column: 11 })
  for (const [index, place] of placesOf(finding).entries()) field(index === 0 ? 'Read in' : '', place)
  // The steps name every statement, each with what follows from it.
  const statements = showWorking && working.length > 0 ? [] : (finding.statements ?? [])
  for (const [index, statement] of statements.entries()) {
    field(index === 0 ? 'Because' : '', endSentence(statement.text))
  }
  if (showWorking) for (const [index, step] of working.entries()) field(index === 0 ? 'How' : '', endSentence(step))
  field('Rule', basis)
  if (remedy !== undefined) field('To settle', remedy)
  if (exposes.length > 0) field('Exposed', exposes.join(', '))
  field('Check', check)
}

/** Distinct places, in their order. */
function placesOf({ evidence }: Finding): string[] {
  const places = [...new Set(evidence.map(describePlace))]
  if (places.length <= mostPlaces) return places
  return [...places.slice(0, mostPlaces - 1), `and ${places.length - mostPlaces + 1} more places`]
}

const endSentence = (text: string): string => (/[.!?]$/.test(text) ? text : `${text}.`)

/** What could not be checked, and what holds: a line for each. */
export function writeSummaries(sheet: Sheet, { findings }: Report): void {
  const open = findings.filter(({ verdict }) => verdict === 'not-checked')
  if (open.length > 0) {
    sheet.gap()
    sheet.write([
      span(`Not checked (${open.length}): the packet holds too little to say, or it does not apply`, 'strong'),
    ])
    for (const line of countAlike(open.map(({ reason }) => reason))) sheet.write(line, { first: '  - ', rest: '    ' })
  }
  const holding = findings.filter(({ verdict }) => verdict === 'pass')
  if (holding.length === 0) return
  sheet.gap()
  sheet.write([span(`What holds (${holding.length})`, 'strong')])
  for (const line of summariseHolding(findings, holding)) sheet.write(line, { first: '  - ', rest: '    ' })
}

/** The claim, where every finding of its check passes; else what the single finding says. */
function summariseHolding(findings: readonly Finding[], holding: readonly Finding[]): string[] {
  const mixed = new Set(findings.filter(({ verdict }) => verdict !== 'pass').map(({ check }) => check))
  return [...new Set(holding.map(({ check, claim, reason }) => (mixed.has(check) ? reason : claim)))]
}

/** One line for what several checks say alike. */
function countAlike(reasons: readonly string[]): string[] {
  return [...new Set(reasons)].map((reason) => {
    const times = reasons.filter((other) => other === reason).length
    return times === 1 ? reason : `${reason} (${times} checks)`
  })
}
