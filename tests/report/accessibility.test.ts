/**
 * The HTML report in a browser, held to the rules of axe (WCAG 2.2 A and AA, and good practice) in light and dark, on a
 * wide screen and on a phone.
 */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { createCanvas } from '@napi-rs/canvas'
import { type Browser, chromium, type Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { compareSubmissions } from '../../src/compare/compare.ts'
import type { Pictures } from '../../src/findings/pictures.ts'
import { renderComparisonPage } from '../../src/report/comparison-page.ts'
import { renderHtml } from '../../src/report/html.ts'
import { makeFile, makeSubmission } from '../compare/invented.ts'
import { findChromium } from './chromium.ts'
import { makeFinding, makeFullReport, makeReport } from './invented.ts'

vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 })

const path = findChromium()

// Never passed over: a page that nobody tried must not pass. `.ci/programs.mjs` puts one there before the tests.
test('a browser is there', () => {
  expect(
    path,
    'install Chromium (Debian: apt-get install chromium), or name one in the variable CHROMIUM',
  ).not.toBeNull()
})

const jpeg = Uint8Array.from(createCanvas(300, 100).toBuffer('image/jpeg'))
const marks = [[100, 50, 180, 60] as const]
const drawn = { jpeg, widthPixels: 300, heightPixels: 100, region: [0, 20, 600, 220] as const }
const pictures: Pictures = {
  pictures: [
    { file: 'one.pdf', page: 2, isPhoto: false, marks: [...marks], words: ['1Q9ZZ'], findings: [0, 1], drawn },
    { file: 'p.jpg', page: 1, isPhoto: true, marks: [], words: [], findings: [1], drawn },
    {
      file: 'two.pdf',
      page: 1,
      isPhoto: false,
      marks: [...marks],
      words: [],
      findings: [1],
      drawn: { fault: 'it is damaged' },
    },
  ],
  left: 1,
}

const pages = {
  full: renderHtml(makeFullReport(), { pictures }),
  passing: renderHtml(
    makeReport({ verdict: 'pass', findings: [], counts: { pass: 0, warn: 0, fail: 0, notChecked: 0 } }),
  ),
  comparison: renderComparisonPage(
    compareSubmissions(
      makeSubmission([makeFile('a.pdf', 'calibration', [['VIN 1']], { vin: '1' })], [makeFinding()]),
      makeSubmission([makeFile('a.pdf', 'calibration', [['VIN 2']], { vin: '2' })], []),
    ),
  ),
  warning: renderHtml(makeFullReport({ verdict: 'warn', documents: [], events: [] })),
}
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

interface AxeResults {
  violations: { id: string; nodes: { html: string; failureSummary: string }[] }[]
  passes: { id: string }[]
}

describe('the page in a browser', () => {
  let browser: Browser
  beforeAll(async () => {
    // Containers have no namespaces for its sandbox; the pages are ours and run no script.
    browser = await chromium.launch({ executablePath: path as string, args: ['--no-sandbox'] })
  })
  afterAll(() => browser?.close())

  async function show<T>(
    html: string,
    look: { colorScheme: 'light' | 'dark'; width: number },
    work: (page: Page) => Promise<T>,
  ) {
    const context = await browser.newContext({
      colorScheme: look.colorScheme,
      viewport: { width: look.width, height: 900 },
      // For axe; the page's own policy lets no script in.
      bypassCSP: true,
    })
    try {
      const page = await context.newPage()
      await page.setContent(html)
      return await work(page)
    } finally {
      await context.close()
    }
  }

  const wide = [
    ['light', 1200],
    ['dark', 1200],
  ] as const
  const narrow = [
    ['light', 380],
    ['dark', 380],
  ] as const
  const shown = Object.entries(pages).flatMap(([name, html]) =>
    (name === 'full' ? [...wide, ...narrow] : wide).map((look) => [name, ...look, html] as const),
  )

  test.each(shown)('the %s page, %s, %i pixels wide, breaks no rule of axe', async (_, colorScheme, width, html) => {
    const results = await show(html, { colorScheme, width }, async (page) => {
      await page.evaluate(axe)
      return page.evaluate('axe.run(document)') as Promise<AxeResults>
    })
    expect(results.violations.map(({ id, nodes }) => [id, nodes.map(({ failureSummary }) => failureSummary)])).toEqual(
      [],
    )
    expect(results.passes.map(({ id }) => id)).toContain('color-contrast')
  })

  test('axe sees what is wrong where something is', async () => {
    const wrong = pages.full.replaceAll('alt="', 'data-alt="').replace('lang="en"', '')
    const { violations } = await show(wrong, { colorScheme: 'light', width: 1200 }, async (page) => {
      await page.evaluate(axe)
      return page.evaluate('axe.run(document)') as Promise<AxeResults>
    })
    expect(violations.map(({ id }) => id)).toEqual(expect.arrayContaining(['image-alt', 'html-has-lang']))
  })

  test.each([1200, 380, 320])('is not wider than a screen of %i pixels (WCAG 2.2, 1.4.10: 320)', async (width) => {
    const scrolled = await show(pages.full, { colorScheme: 'light', width }, (page) =>
      page.evaluate<number>('document.documentElement.scrollWidth'),
    )
    expect(scrolled).toBeLessThanOrEqual(width)
  })

  test('shows its pictures and asks for nothing, under its own policy', async () => {
    const context = await browser.newContext()
    const page = await context.newPage()
    const asked: string[] = []
    const said: string[] = []
    page.on('request', (request) => void asked.push(request.url().slice(0, 30)))
    page.on('console', (message) => void said.push(message.text()))
    await page.setContent(pages.full, { waitUntil: 'load' })
    const widths = await page.evaluate<number[]>('Array.from(document.images, (image) => image.naturalWidth)')
    await context.close()
    expect(widths).toEqual([300, 300])
    expect(asked.filter((url) => !url.startsWith('data:image/jpeg'))).toEqual([])
    expect(said).toEqual([])
  })
})
