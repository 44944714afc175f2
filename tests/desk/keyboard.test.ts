/**
 * The desk without a mouse, from handing a packet over to comparing it with the next: nothing but keys is pressed, and
 * whatever has the focus shows it (WCAG 2.2, 2.1.1 and 2.4.7).
 */
import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { buffer } from 'node:stream/consumers'
import type { Browser, Locator, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { ZipFile } from 'yazl'
import { launchChromium } from '../report/chromium.ts'
import { root } from '../source-file.ts'
import { readBuiltPage } from './built-page.ts'
import { makeDeskIdentity } from './server/desk-identity.ts'
import { type DeskPlace, openDeskPlace } from './server/desk-place.ts'

vi.setConfig({ testTimeout: 240_000, hookTimeout: 240_000 })

let place: DeskPlace
let browser: Browser
let page: Page
/** What had the focus and did not show it. */
const unseen = new Set<string>()

beforeAll(async () => {
  const { sealing } = await makeDeskIdentity(new Date('2026-11-20T08:00:00Z'))
  place = await openDeskPlace({ page: await readBuiltPage(), sealing })
  browser = await launchChromium()
  page = await browser.newPage({ viewport: { width: 1280, height: 900 } })
  page.setDefaultTimeout(60_000)
  await page.goto(`${place.address}/enter?once=the-link`)
  await page.getByRole('button', { name: 'files or a zip' }).waitFor()
})

afterAll(async () => {
  await browser?.close()
  await place?.close()
})

const hasFocus = async (target: Locator): Promise<boolean> => (await target.and(page.locator(':focus')).count()) > 0

/** Presses Tab until this has the focus. */
async function tabTo(target: Locator): Promise<void> {
  await target.waitFor()
  for (let presses = 0; presses < 250; presses++) {
    await noteUnseen()
    if (await hasFocus(target)) return
    await page.keyboard.press('Tab')
  }
  throw new Error(`No Tab leads to ${target}`)
}

async function noteUnseen(): Promise<void> {
  const found = await page.evaluate<string | null>(`(() => {
    const own = document.activeElement
    if (own === null || own === document.body || !own.matches(':focus-visible')) return null
    const { outlineStyle, outlineWidth, boxShadow } = getComputedStyle(own)
    const isSeen = (outlineStyle !== 'none' && outlineWidth !== '0px') || boxShadow !== 'none'
    return isSeen ? null : own.outerHTML.slice(0, 120)
  })()`)
  if (found !== null) unseen.add(found)
}

async function press(target: Locator): Promise<void> {
  await tabTo(target)
  await page.keyboard.press('Enter')
}

async function write(field: Locator, words: string): Promise<void> {
  await tabTo(field)
  await page.keyboard.type(words)
}

const button = (name: string) => page.getByRole('button', { name })
const inDialog = (label: string) => page.getByRole('dialog').getByLabel(label)

async function handOver(example: string, number: number): Promise<void> {
  const zip = new ZipFile()
  const from = join(root, 'examples', 'packets', example)
  for (const name of readdirSync(from)) zip.addFile(join(from, name), name)
  zip.end()
  const chosen = page.waitForEvent('filechooser')
  await press(button('files or a zip'))
  const file = { name: `${example}.zip`, mimeType: 'application/zip', buffer: await buffer(zip.outputStream) }
  await (await chosen).setFiles(file)
  await press(button('Hand it over'))
  await page.locator(`.sendings li:nth-child(${number}) .verdict`).waitFor({ timeout: 120_000 })
}

test('a zip is handed over and opened from the queue', async () => {
  await handOver('windshield-camera', 1)
  await press(page.locator('.queue-table tbody a').first())
  await page.waitForURL(/packets\/2026-0001/)
})

test('a finding is followed to the words that prove it, and decided on', async () => {
  await page.locator('canvas[data-drawn]').first().waitFor()
  await page.keyboard.press('j')
  await page.waitForURL(/finding=2/)
  await page.keyboard.press('k')
  await page.waitForURL(/finding=1/)
  await page.locator('.look:has(canvas[data-drawn]) .mark').first().waitFor()
  await page.keyboard.press('Enter')
  const inLook = page.locator('.look', { hasText: 'camera drive report.pdf' }).locator(':focus')
  await expect.poll(() => inLook.count()).toBe(1)
  await noteUnseen()
  await press(page.getByText('Decide on it'))
  await tabTo(page.getByRole('radio', { name: 'accepted', exact: false }))
  await page.keyboard.press('ArrowDown')
  await write(page.getByLabel('Reason'), 'The record was typed by hand.')
  await press(button('Write it into the log'))
  await expect.poll(() => page.locator('.decisions li').textContent()).toContain('contested')
})

test('it is held and sealed; the focus comes back from each dialog', async () => {
  await press(button('Hold …'))
  await write(inDialog('Matter'), 'Claim QM-1')
  await write(inDialog('Reason'), 'Letter of counsel')
  await write(inDialog('By whose authority'), 'Claims counsel')
  await press(button('Hold it'))
  await page.locator('p.held').waitFor()
  await expect.poll(() => hasFocus(button('Hold …'))).toBe(true)
  await press(button('Seal …'))
  await page.keyboard.press('Escape')
  await expect.poll(() => hasFocus(button('Seal …'))).toBe(true)
  await page.keyboard.press('Enter')
  await write(inDialog('Reason'), 'Asked for by the carrier')
  await press(button('Seal it'))
  await page.getByRole('link', { name: /^entry \d+ of the custody log$/ }).waitFor()
})

test('the next packet of the job is handed over and compared with it', async () => {
  const queue = page.getByRole('link', { name: 'Queue' })
  if (!(await queue.isVisible())) await page.keyboard.press('Escape')
  await press(queue)
  await handOver('windshield-camera-again', 2)
  await press(page.locator('.queue-table a[href*="2026-0002"]').first())
  await page.waitForURL(/packets\/2026-0002/)
  await press(page.getByRole('link', { name: 'what changed' }))
  await page.getByText('The verdict was FAIL and is PASS now').first().waitFor()
})

test('whatever had the focus showed it, and the desk had no fault', () => {
  expect([...unseen]).toEqual([])
  expect(place.faults).toEqual([])
})
