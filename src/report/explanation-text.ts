/** The explanation of one check as text for a person. */
import type { Explanation } from '../explain/explanation.ts'
import type { Verdict } from '../findings/report.ts'
import { writeFindings } from './findings-text.ts'
import { spellOut } from './rules-text.ts'
import { makeSheet, type Sheet, type SheetOptions, span } from './sheet.ts'
import { measureText } from './terminal-text.ts'
import { groupFindings } from './view.ts'
import { count, verdictStyles, verdictWords } from './words.ts'

/** The whole way from the words of the files to the verdict, and what would change it. Neutralised as the report is. */
export function renderExplanation(explanation: Explanation, options: SheetOptions): string {
  const sheet = makeSheet(options)
  const { verdict, check, claim, packet, reviewed, rulebook, rule, findings } = explanation
  sheet.write([span(verdictWords[verdict], verdictStyles[verdict]), span(`  ${check}`, 'strong')])
  sheet.write(`The claim: ${claim}`)
  sheet.gap()
  const field = (label: string, text: string) => sheet.label(label, text, { indent: 2, column: 11 })
  field('Packet', packet)
  field('Reviewed', `as of ${reviewed}, by the rulebook ${rulebook.name} ${rulebook.version}`)
  const origin = rule.rulebook === rulebook.name ? '' : ` (as the rulebook ${rule.rulebook} ${rule.version} has it)`
  field('Rule', `${explanation.basis}${origin}`)
  if (findings.length > 0) {
    const options = { rulebook: rulebook.name, showWorking: true, first: 1 }
    writeFindings(sheet, groupFindings('What it found, and how', findings, options))
  }
  writeParameters(sheet, explanation)
  writeMessages(sheet, explanation)
  writeChanges(sheet, explanation)
  return sheet.toString()
}

function writeParameters(sheet: Sheet, { parameters }: Explanation): void {
  if (parameters.length === 0) return
  sheet.gap()
  sheet.write([span('Values of the rule', 'strong')])
  const column = Math.max(...parameters.map(({ name }) => measureText(name))) + 2
  for (const { name, meaning, value } of parameters)
    sheet.label(name, `${JSON.stringify(value)}: ${meaning}`, { indent: 2, column })
}

function writeMessages(sheet: Sheet, { messages }: Explanation): void {
  sheet.gap()
  sheet.write([span('What it could have said instead, and what that is worth', 'strong')])
  for (const { verdict, text, said } of messages) {
    if (said) continue
    sheet.label(verdict.replace('-', ' '), spellOut(text), { indent: 2, column: 13 })
  }
}

const becomes = (verdict: Verdict): string => `the verdict would be ${verdictWords[verdict].toLowerCase()}`

function writeChanges(sheet: Sheet, { turningPoints, files, findings }: Explanation): void {
  sheet.gap()
  sheet.write([span('What would change the verdict', 'strong')])
  const item = (text: string) => sheet.write(text, { first: '  - ', rest: '    ' })
  const remedies = new Set(findings.flatMap(({ remedy }) => remedy ?? []))
  for (const remedy of remedies) item(`To settle it: ${remedy}`)
  for (const { name, value, at, verdict } of turningPoints)
    item(`A rulebook that sets ${name} to ${at} instead of ${value}: ${becomes(verdict)}.`)
  for (const { file, verdict, reason } of files) item(`Without ${file}, ${becomes(verdict)}: ${reason}`)
  if (remedies.size + turningPoints.length + files.length === 0)
    item(`Nothing that was tried: neither a packet without one of its files nor other values of the rule.`)
  else if (files.length > 0 || turningPoints.length > 0)
    sheet.write(
      `Found by running the check again: over the packet without each of its files${files.length > 0 ? ` (${count(files.length, 'file')} made a difference)` : ''}, and with other values of the rule.`,
      { first: '  ' },
    )
}
