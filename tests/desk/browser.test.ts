/** The desk as somebody uses it, in a browser: a zip is handed over, a finding followed to the words that prove it, decided on, held, compared. */
import { readdirSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { buffer } from 'node:stream/consumers'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { ZipFile } from 'yazl'
import { launchChromium } from '../report/chromium.ts'
import { root } from '../source-file.ts'
import { readBuiltPage } from './built-page.ts'
import { makeDeskIdentity } from './server/desk-identity.ts'
import { type DeskPlace, openDeskPlace } from './server/desk-place.ts'

vi.setConfig({ testTimeout: 240_000, hookTimeout: 240_000 })

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
let place: DeskPlace
let browser: Browser
let page: Page
/** What the browser had to complain of. */
const said: string[] = []

beforeAll(async () => {
  const { sealing } = await makeDeskIdentity(new Date('2026-11-20T08:00:00Z'))
  place = await openDeskPlace({ page: await readBuiltPage(), sealing })
  browser = await launchChromium()
  page = await browser.newPage({ viewport: { width: 1280, height: 900 } })
  page.setDefaultTimeout(60_000)
  page.on('console', (message) => void said.push(message.text()))
  page.on('pageerror', (error) => void said.push(error.message))
})

afterAll(async () => {
  await browser?.close()
  await place?.close()
})

function zipOf(example: string): Promise<Buffer> {
  const from = join(root, 'examples', 'packets', example)
  const zip = new ZipFile()
  for (const name of readdirSync(from)) zip.addFile(join(from, name), name)
  zip.end()
  return buffer(zip.outputStream)
}

async function handOver(example: string, number: number): Promise<void> {
  const [chooser] = await Promise.all([
    page.waitForEvent('filechooser'),
    page.getByRole('button', { name: 'files or a zip' }).click(),
  ])
  await chooser.setFiles({ name: `${example}.zip`, mimeType: 'application/zip', buffer: await zipOf(example) })
  await page.getByRole('button', { name: 'Hand it over' }).click()
  await page.locator(`.sendings li:nth-child(${number}) .verdict`).waitFor({ timeout: 120_000 })
}

test('the link lets the browser in, and not twice', async () => {
  await page.goto(`${place.address}/enter?once=the-link`)
  await page.getByRole('button', { name: 'files or a zip' }).waitFor()
  const other = await browser.newPage()
  await other.goto(`${place.address}/enter?once=the-link`)
  await other.locator('h1').first().waitFor()
  expect(await other.locator('.queue-table').count()).toBe(0)
  await other.close()
})

test('a zip is received and checked while one looks on, and stands in the queue without a reload', async () => {
  await handOver('windshield-camera', 1)
  await handOver('windshield-camera-again', 2)
  await expect.poll(() => page.locator('.queue-table tbody tr').count()).toBe(2)
})

test('a finding leads to the words on the page', async () => {
  await page.goto(`${place.address}/packets/2026-0001?finding=1`)
  const look = page.locator('.look', { hasText: 'camera drive report.pdf' }).first()
  await look.locator('canvas[data-drawn]').waitFor()
  const [mark, sheet] = [await look.locator('.mark').first().boundingBox(), await look.locator('.sheet').boundingBox()]
  expect(mark?.width).toBeGreaterThan(20)
  expect(mark?.x).toBeGreaterThan(sheet?.x ?? 0)
  expect(await look.locator('q').textContent()).toContain('7XRCB8HLXNSS18264')
})

test('a decision is written into the log, and the finding stays', async () => {
  const reason = await page.locator('#finding-reason').textContent()
  await page.getByText('Decide on it').click()
  await page.getByLabel('contested', { exact: false }).check()
  await page.getByLabel('Reason').fill('The record was typed by hand.')
  await page.getByRole('button', { name: 'Write it into the log' }).click()
  await page.locator('.decisions li').waitFor()
  expect(await page.locator('.decisions li').textContent()).toContain('The record was typed by hand.')
  expect(await page.locator('#finding-reason').textContent()).toBe(reason)
})

test('a packet is held and let go', async () => {
  const dialog = page.getByRole('dialog')
  await page.getByRole('button', { name: 'Hold …' }).click()
  await dialog.getByLabel('Matter').fill('Claim QM-1')
  await dialog.getByLabel('Reason').fill('Letter of counsel')
  await dialog.getByLabel('By whose authority').fill('Claims counsel')
  await page.getByRole('button', { name: 'Hold it' }).click()
  await page.locator('p.held').waitFor()
  await page.goto(`${place.address}/packets/2026-0001?part=custody`)
  await page.getByRole('button', { name: 'Lift …' }).click()
  await dialog.getByLabel('Reason').fill('Settled')
  await dialog.getByLabel('By whose authority').fill('Claims counsel')
  await page.getByRole('button', { name: 'Lift it' }).click()
  await page.locator('p.held').waitFor({ state: 'detached' })
})

test('a packet is sealed, and each part of its seal is told', async () => {
  await page.goto(`${place.address}/packets/2026-0001`)
  await page.getByRole('button', { name: 'Seal …' }).click()
  const dialog = page.getByRole('dialog')
  expect(await dialog.textContent()).toContain('Records desk')
  await dialog.getByLabel('Reason').fill('Asked for by the carrier')
  await dialog.getByRole('button', { name: 'Seal it' }).click()
  await page.getByRole('link', { name: /^entry \d+ of the custody log$/ }).click()
  const parts = page.locator('.seals .seal-parts > div')
  await parts.first().waitFor()
  expect(await parts.locator('dt').allTextContents()).toEqual([
    '✓ PASS Form of the bag',
    '✓ PASS Files',
    '✓ PASS Signature',
    '▲ WARN Signer',
    '✓ PASS Revocation',
    '▲ WARN Time stamp (absent)',
  ])
  expect(await page.locator('.custody li').first().textContent()).toContain('Asked for by the carrier')
  await page.getByRole('button', { name: 'Seal …' }).click()
  await dialog.getByRole('button', { name: 'Seal it' }).click()
  await page.getByText('It is sealed already', { exact: false }).waitFor()
  expect(await page.locator('.seals article').count()).toBe(1)
})

test.each(['light', 'dark'] as const)(
  'the dialog and the parts of a seal break no rule of axe in %s',
  async (colorScheme) => {
    const context = await browser.newContext({ colorScheme, bypassCSP: true, viewport: { width: 1280, height: 900 } })
    await context.addCookies(await page.context().cookies())
    const other = await context.newPage()
    try {
      await other.goto(`${place.address}/packets/2026-0001?part=custody`)
      await other.locator('.seal-parts').waitFor()
      expect(await violationsOf(other)).toEqual([])
      await other.getByRole('button', { name: 'Seal …' }).click()
      await other.getByRole('dialog').waitFor()
      expect(await violationsOf(other)).toEqual([])
    } finally {
      await context.close()
    }
  },
)

async function violationsOf(shown: Page): Promise<unknown[]> {
  await shown.evaluate(axe)
  const { violations } = (await shown.evaluate('axe.run(document)')) as {
    violations: { id: string; nodes: { failureSummary: string }[] }[]
  }
  return violations.map(({ id, nodes }) => [id, nodes.map((node) => node.failureSummary)])
}

test('two packets of a job are compared', async () => {
  await page.goto(`${place.address}/compare?before=2026-0001&after=2026-0002`)
  await page.getByText('The verdict was FAIL and is PASS now').first().waitFor()
  const drive = page.locator('article', { hasText: 'camera drive report.pdf' }).filter({ has: page.locator('table') })
  expect(await drive.locator('del').allTextContents()).toContainEqual(expect.stringContaining('7XRCB8HLXNSS18264'))
})

test('the browser had nothing to complain of, and the desk no fault', () => {
  expect(said.filter((line) => !/status of 401/.test(line))).toEqual([])
  expect(place.faults).toEqual([])
})
