/** The checks and what a rulebook makes of them, as text for a person. */
import type { Check } from '../checks/check.ts'
import type { Rulebook } from '../rulebook/rulebook.ts'
import { describeRule } from './rule-data.ts'
import { makeSheet, type SheetOptions, span } from './sheet.ts'
import { measureText } from './terminal-text.ts'
import { groupQuestions } from './words.ts'

/** Every check with its claim, by group. */
export function renderRules(checks: readonly Check[], rulebook: Rulebook, options: SheetOptions): string {
  const sheet = makeSheet(options)
  sheet.write(
    `${checks.length} checks, weighed by the rulebook ${rulebook.name} ${rulebook.version} of ${rulebook.effective}.`,
  )
  const column = Math.max(...checks.map(({ id }) => measureText(id))) + 2
  for (const [group, question] of Object.entries(groupQuestions)) {
    const own = checks.filter((check) => check.group === group)
    if (own.length === 0) continue
    sheet.gap()
    sheet.write([span(group, 'strong'), span(`: ${question}`)])
    for (const { id, claim } of own) {
      const left = rulebook.rules[id]?.off ? ' (left out by this rulebook)' : ''
      sheet.label(id, claim + left, { indent: 2, column })
    }
  }
  return sheet.toString()
}

/** One check: its claim, messages with their worth, parameters with their values, basis, remedy and who is exposed. */
export function renderRule(check: Check, rulebook: Rulebook, options: SheetOptions): string {
  const sheet = makeSheet(options)
  const rule = describeRule(check, rulebook)
  sheet.write([span(check.id, 'strong')])
  sheet.write(check.claim, { first: '  ' })
  sheet.gap()
  const field = (label: string, text: string) => sheet.label(label, text, { indent: 2, column: 13 })
  field('Group', `${check.group}: ${groupQuestions[check.group]}`)
  field('Source', rule.basis)
  field('To settle', check.remedy)
  for (const [index, [party, to]] of Object.entries(check.exposes).entries())
    field(index === 0 ? 'Exposed' : '', `${party}, to ${to}`)
  field('Rulebook', `${rulebook.name} ${rulebook.version} of ${rulebook.effective}`)
  if (rule.off !== null) field('Left out', rule.off)
  sheet.gap()
  sheet.write([span('What it can say, and what that is worth', 'strong')])
  const column = Math.max(...rule.messages.map(({ id }) => measureText(id)), 12) + 2
  for (const { id, verdict, text } of rule.messages) {
    sheet.label(verdict.replace('-', ' '), [span(id, 'strong')], { indent: 2, column: 13 })
    sheet.write([span(spellOut(text), 'quiet')], { first: ' '.repeat(15) })
  }
  if (rule.parameters.length === 0) return sheet.toString()
  sheet.gap()
  sheet.write([span('Values it uses, which a rulebook may set', 'strong')])
  for (const { name, meaning, value } of rule.parameters) {
    sheet.label(name, `${JSON.stringify(value)}: ${meaning}`, { indent: 2, column })
  }
  return sheet.toString()
}

/** `{laterFile}` → `[later file]`: what the report puts in its place. */
export function spellOut(text: string): string {
  return text.replaceAll(/\{(\w+)\}/g, (_, name: string) => `[${name.replaceAll(/([A-Z])/g, ' $1').toLowerCase()}]`)
}
