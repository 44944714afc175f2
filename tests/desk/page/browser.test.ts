/** The desk's page in a browser, under the desk's policy: it shows the words, obeys the keys, and breaks no rule of axe. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { buildPage } from '../../../.config/vite.config.ts'
import type { Report } from '../../../src/index.ts'
import { launchChromium } from '../../report/chromium.ts'
import { root } from '../../source-file.ts'
import { openCannedDesk, reviewExample, tellPacket } from './canned-desk.ts'

vi.setConfig({ testTimeout: 120_000, hookTimeout: 180_000 })

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const hostile = '<img src=x onerror="document.title=1">'
const folder = mkdtempSync(join(tmpdir(), 'witnessmark-page-'))
let report: Report
let browser: Browser
let desk: Awaited<ReturnType<typeof openCannedDesk>>
let isSignedIn = true

beforeAll(async () => {
  await buildPage(folder)
  report = await reviewExample()
  const [first] = report.findings
  // What a file is called is what somebody wrote.
  if (first !== undefined) first.reason = `${first.reason} ${hostile}`
  desk = await openCannedDesk(folder, tellPacket(report), () => isSignedIn)
  browser = await launchChromium()
})

afterAll(async () => {
  await browser?.close()
  await desk?.close()
  rmSync(folder, { recursive: true, force: true })
})

interface Look {
  colorScheme?: 'light' | 'dark'
  width?: number
  /** For axe, which the page's own policy keeps out. */
  bypassCSP?: boolean
}

async function show<T>(path: string, work: (page: Page, said: string[]) => Promise<T>, look: Look = {}): Promise<T> {
  const { colorScheme = 'light', width = 1280, bypassCSP = false } = look
  const context = await browser.newContext({ colorScheme, bypassCSP, viewport: { width, height: 900 } })
  const page = await context.newPage()
  const said: string[] = []
  page.on('console', (message) => void said.push(message.text()))
  page.on('pageerror', (error) => void said.push(error.message))
  try {
    await page.goto(desk.address + path)
    return await work(page, said)
  } finally {
    await context.close()
  }
}

const focused = (page: Page, attribute: string) =>
  page.evaluate<string | null>(`document.activeElement.getAttribute('${attribute}')`)
const packet = '/packets/2026-0001'

describe('a packet', () => {
  test('marks the words on the page that prove what is wrong, and its policy has nothing to say', async () => {
    await show(packet, async (page, said) => {
      const look = page.locator('.look', { hasText: 'camera drive report.pdf' }).first()
      await look.locator('canvas[data-drawn]').waitFor()
      const [mark, sheet] = await Promise.all([
        look.locator('.mark').boundingBox(),
        look.locator('.sheet').boundingBox(),
      ])
      const place = report.findings[0]?.evidence.find(({ file }) => file === 'camera drive report.pdf')
      const [x0 = 0, y0 = 0, x1 = 0] = place?.box ?? []
      const scale = ((mark?.width ?? 0) - 4) / (x1 - x0)
      // The margin of a mark is two pixels.
      expect((mark?.x ?? 0) + 2 - (sheet?.x ?? 0)).toBeCloseTo(x0 * scale, 0)
      expect((mark?.y ?? 0) + 2 - (sheet?.y ?? 0)).toBeCloseTo(y0 * scale, 0)
      expect(await look.locator('q').textContent()).toContain(place?.text)
      expect(said).toEqual([])
    })
  })

  test('goes by keys: findings, their evidence, places, and back', async () => {
    await show(packet, async (page) => {
      await page.locator('canvas[data-drawn]').first().waitFor()
      await page.keyboard.press('j')
      await page.waitForURL(/finding=2/)
      await page.keyboard.press('ArrowUp')
      await page.waitForURL(/finding=1/)
      await page.locator('canvas[data-drawn]').nth(1).waitFor()
      await page.keyboard.press('Enter')
      expect(await focused(page, 'aria-label')).toContain('camera drive report.pdf')
      await page.keyboard.press('n')
      expect(await focused(page, 'aria-label')).toContain('estimate.pdf')
      await page.keyboard.press('Escape')
      expect(await focused(page, 'data-finding')).toBe('1')
    })
  })

  test('shows what people wrote as they wrote it', async () => {
    await show(`${packet}?part=custody`, async (page) => {
      expect(await page.locator('.note-text').textContent()).toBe('<b>asked</b> the shop')
      await page.goto(`${desk.address}${packet}`)
      expect(await page.locator('#finding-reason').textContent()).toContain(hostile)
      expect(await page.title()).toContain('windshield-camera')
    })
  })
})

test('what declares the packet is shown as words, line by line', async () => {
  const at = tellPacket(report).files.findIndex(({ path }) => path === 'packet.yaml') + 1
  await show(`${packet}?part=files&file=${at}`, async (page) => {
    await page.locator('.lines li').first().waitFor()
    const lines = await page.locator('.lines li').allTextContents()
    const file = readFileSync(join(root, 'examples', 'packets', 'windshield-camera', 'packet.yaml'), 'utf8')
    expect(lines.join('\n').trim()).toBe(file.trim())
  })
})

test('whoever is not signed in is asked to, and nothing else is shown', async () => {
  isSignedIn = false
  try {
    await show('/', async (page) => {
      await page.getByRole('heading', { name: 'Sign in to the desk' }).waitFor()
      expect(await page.locator('.queue').count()).toBe(0)
    })
  } finally {
    isSignedIn = true
  }
})

interface AxeResults {
  violations: { id: string; nodes: { failureSummary: string }[] }[]
  passes: { id: string }[]
}

const paths = [
  '/',
  packet,
  ...['settle', 'events', 'drive', 'files&file=3', 'custody'].map((part) => `${packet}?part=${part}`),
  '/nowhere',
]
const looks = [
  ['light', 1280, paths],
  ['dark', 1280, paths],
  ['light', 390, ['/', packet]],
  ['dark', 390, [packet]],
] as const

describe.each(looks)('in %s, %i pixels wide', (colorScheme, width, shown) => {
  test.each(shown)('%s breaks no rule of axe and is no wider than the screen', async (path) => {
    const [results, scrolled] = await show(
      path,
      async (page) => {
        await page.locator('h1').first().waitFor()
        await page.waitForTimeout(300)
        await page.evaluate(axe)
        return [
          (await page.evaluate('axe.run(document)')) as AxeResults,
          await page.evaluate<number>('document.documentElement.scrollWidth'),
        ] as const
      },
      { colorScheme, width, bypassCSP: true },
    )
    expect(results.violations.map(({ id, nodes }) => [id, nodes.map((node) => node.failureSummary)])).toEqual([])
    expect(results.passes.map(({ id }) => id)).toContain('color-contrast')
    expect(scrolled).toBeLessThanOrEqual(width)
  })
})
