/** A plan as text, Markdown and HTML: everything is there, and nothing that a file says becomes markup. */
import { SaxesParser } from 'saxes'
import { describe, expect, test } from 'vitest'
import { loadVocabulary } from '../../cli/shipped-data.ts'
import { checks } from '../../src/checks/index.ts'
import { makePlan, type Plan } from '../../src/plan/plan.ts'
import { renderPlanMarkdown, renderPlanPage } from '../../src/report/plan-page.ts'
import { renderPlan } from '../../src/report/plan-text.ts'
import { general } from '../checks/general.ts'
import { makePacket } from '../checks/packet-builder.ts'

const vocabulary = await loadVocabulary(undefined)

function planOf(what: string): Plan {
  const packet = makePacket([], {
    declaration: {
      job: 'RO 17',
      repairs: [{ what }],
      calibrations: [{ sensor: 'front-radar', method: 'dynamic' }],
      notNeeded: [{ sensor: 'ultrasonic', because: 'not fitted' }],
    },
  })
  return makePlan(packet, checks, general, vocabulary)
}

const plan = planOf('Windshield replaced')
const tasks = plan.steps.flatMap((step) => step.tasks)
const boxes = tasks.length + plan.decisions.length
const nasty = '<b onclick="x()">*_`[a](b)|&amp;\u001b[31m\u202e\n# no'

describe('text', () => {
  test.each([40, 60, 80, 120])('of %i columns holds to them, with a box for each task and decision', (width) => {
    const text = renderPlan(plan, { width, color: false })
    for (const line of text.split('\n')) expect(line.length).toBeLessThanOrEqual(width)
    expect([...text.matchAll(/^ {2}\[ \] /gm)]).toHaveLength(boxes)
  })

  test('tells each check once, and then where it was told', () => {
    const text = renderPlan(plan, { width: 400, color: false })
    for (const { id, claim } of checks) {
      const served = tasks.filter(({ serves }) => serves.some(({ check }) => check === id))
      expect(text.split(`Why: ${claim} (${id})\n`)).toHaveLength(served.length > 0 ? 2 : 1)
      expect(text.split(` (${id})\n`)).toHaveLength(served.length + 1)
    }
    for (const { number } of [...text.matchAll(/Why: as (\d+)/g)].map(([, number]) => ({ number: Number(number) })))
      expect(tasks.some((task) => task.number === number)).toBe(true)
  })

  test('shows what a file says as it is, and lets it steer nothing', () => {
    const text = renderPlan(planOf(nasty), { width: 400, color: false })
    expect(text).toContain('<b onclick="x()">*_`[a](b)|&amp;<U+001B>[31m<U+202E> # no')
    expect(text).not.toMatch(/[\u001b\u202e]/)
  })
})

describe('Markdown', () => {
  test('has a box for each task and decision', () => {
    const text = renderPlanMarkdown(plan)
    expect([...text.matchAll(/^- \[ \] /gm)]).toHaveLength(boxes)
    expect(text).not.toMatch(/\n\n\n/)
  })

  test('leaves nothing of a file that could be markup', () => {
    const text = renderPlanMarkdown(planOf(nasty))
    const line = text.split('\n').find((one) => one.includes('onclick')) ?? ''
    // Every character that CommonMark gives a meaning within a line stands behind a backslash (2.4).
    expect(line).toContain('\\<b onclick="x()"\\>\\*\\_\\`\\[a\\](b)\\|\\&amp;\\<U+001B\\>\\[31m\\<U+202E\\> \\# no')
    expect(text).not.toMatch(/^# no/m)
  })
})

/** The elements and the words of a page that is well-formed as XML 1.0. */
function parsePage(page: string): { elements: string[]; words: string } {
  const elements: string[] = []
  let words = ''
  const parser = new SaxesParser()
  parser.on('opentag', ({ name }) => elements.push(name))
  parser.on('text', (text) => {
    words += text
  })
  parser.on('error', (error) => {
    throw error
  })
  parser.write(page).close()
  return { elements, words }
}

describe('HTML', () => {
  test('is well-formed, has a box for each task and decision, and needs nothing from elsewhere', () => {
    const page = renderPlanPage(plan)
    const { elements, words } = parsePage(page)
    expect(elements.filter((name) => name === 'input')).toHaveLength(boxes)
    expect(elements.filter((name) => ['script', 'link', 'img', 'iframe', 'a'].includes(name))).toEqual([])
    expect(page).not.toMatch(/https?:|url\(/)
    for (const { text } of tasks) expect(words).toContain(text)
  })

  test('shows what a file says as words', () => {
    const { elements, words } = parsePage(renderPlanPage(planOf(nasty)))
    expect(elements).not.toContain('b')
    expect(words).toContain('<b onclick="x()">*_`[a](b)|&amp;<U+001B>[31m<U+202E> # no')
  })
})
