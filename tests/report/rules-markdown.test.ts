/** The catalogue page holds what the checks declare: each of them, in full, once. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { checks } from '../../src/checks/index.ts'
import { codeSpan, escapeMarkdown } from '../../src/report/markdown.ts'
import { describeRule } from '../../src/report/rule-data.ts'
import { renderRuleMarkdown, renderRulesMarkdown } from '../../src/report/rules-markdown.ts'
import { spellOut } from '../../src/report/rules-text.ts'
import { general } from '../checks/general.ts'

const page = renderRulesMarkdown(checks, general)
/** From the heading of a check to the next heading. */
const sections = new Map(
  page
    .split(/^(?=#{2,3} )/m)
    .filter((part) => part.startsWith('### '))
    .map((part): [string, string] => [part.slice(4, part.indexOf('\n')), part]),
)
/** Escapes taken away: what a reader of the page sees (CommonMark 0.31, 2.4). */
const seen = (markdown: string): string => markdown.replaceAll(/\\([!-/:-@[-`{-~])/g, '$1')

test('the page has a section for every check, in the order of the catalogue, and for nothing else', () => {
  expect([...page.matchAll(/^### (.*)$/gm)].map(([, id]) => id)).toEqual(checks.map(({ id }) => id))
  expect(page).not.toMatch(/undefined|\[object/)
})

test.each(checks.map((check) => [check.id, check] as const))('%s is written out in full', (id, check) => {
  const section = sections.get(id) ?? ''
  const said = seen(section)
  const { messages, parameters, basis } = describeRule(check, general)
  const listed = [...section.matchAll(/^- (PASS|WARN|FAIL|NOT CHECKED) `([^`]+)`: (.*)$/gm)]
  expect(listed.map(([, verdict, message, text]) => [verdict, message, seen(text ?? '')])).toEqual(
    messages.map(({ id: message, verdict, text }) => [
      verdict.replace('-', ' ').toUpperCase(),
      message,
      spellOut(text).replaceAll(/ +/g, ' ').trim(),
    ]),
  )
  for (const { name, meaning, value } of parameters) {
    expect(section.split(`- \`${name}\` `)).toHaveLength(2)
    expect(section).toContain(JSON.stringify(value))
    expect(said).toContain(meaning)
  }
  for (const words of [check.claim, check.remedy, basis, ...Object.values(check.exposes)]) expect(said).toContain(words)
  for (const { text } of check.collect) expect(said).toContain(spellOut(text))
})

test('one check alone can be written', () => {
  const [first] = checks
  if (first === undefined) throw new Error('no checks')
  expect(`##${renderRuleMarkdown(first, general)}`.trimEnd()).toBe(sections.get(first.id)?.trimEnd())
})

describe('Markdown of any text', () => {
  const text = fc.string({ unit: fc.constantFrom(...'ab1.)-+=#*_`[]<>&|~\\ $'), maxLength: 40 })

  test('is the text again once the escapes are taken away', () => {
    fc.assert(
      fc.property(text, (any) => {
        expect(seen(escapeMarkdown(any))).toBe(any.replaceAll(/ +/g, ' ').trim())
      }),
    )
  })

  test('opens no emphasis, code, link, element, entity or block', () => {
    fc.assert(
      fc.property(text, (any) => {
        // What is left when every escaped character is taken out.
        const bare = escapeMarkdown(any).replaceAll(/\\[!-/:-@[-`{-~]/g, '')
        expect(bare).not.toMatch(/[*_`[\]<>&|~#]/)
        expect(escapeMarkdown(any)).not.toMatch(/^(?:[-+=]|\d+[.)])/)
      }),
    )
  })

  test.each([
    ['a', '`a`'],
    ['a`b', '``a`b``'],
    ['`', '`` ` ``'],
    // CommonMark 0.31, 6.1: one space on both sides is taken away, so one more is set.
    [' a ', '`  a  `'],
  ])('as code: %j', (given, expected) => {
    expect(codeSpan(given)).toBe(expected)
  })
})
