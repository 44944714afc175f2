/**
 * A packet whose every part holds script: names of files, what declares it, words and actions of a PDF, what a camera wrote.
 * The desk shows it as words, in each of its pages and in what is downloaded; nothing runs, and no policy has to stop it.
 */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { PDFDocument, PDFName, PDFString, StandardFonts } from '@cantoo/pdf-lib'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import type { PacketView } from '../../src/desk/contract.ts'
import { writeTiff } from '../reading/pictures-by-hand.ts'
import { launchChromium } from '../report/chromium.ts'
import { root } from '../source-file.ts'
import { readBuiltPage } from './built-page.ts'
import { type DeskPlace, handOverFiles, openDeskPlace } from './server/desk-place.ts'

vi.setConfig({ testTimeout: 240_000, hookTimeout: 240_000 })

const script = (where: string) => `<img src=x onerror=alert('${where}')>`
/** As it stands in a text whose spaces were taken out: the words of a page each have a place of their own. */
const shown = (where: string) => script(where).replaceAll(' ', '')
const example = join(root, 'examples', 'packets', 'windshield-camera')
let place: DeskPlace
let browser: Browser
let page: Page
let packet: PacketView
/** What ran, and what the browser had to complain of. */
const [ran, said]: [string[], string[]] = [[], []]

async function hostilePdf(): Promise<Uint8Array> {
  const pdf = await PDFDocument.create()
  pdf.setTitle(script('title'))
  const sheet = pdf.addPage([612, 792])
  const font = await pdf.embedFont(StandardFonts.Helvetica)
  const lines = ['Post-repair scan report', 'VIN: 7XRCB8HLXNSS18264', `U0131-00 ${script('pdf')} stored`]
  for (const [at, line] of lines.entries()) sheet.drawText(line, { x: 60, y: 700 - 20 * at, size: 12, font })
  pdf.addJavaScript('open', "app.alert('pdf'); this.getURL('javascript:alert(1)')")
  sheet.node.addAnnot(
    pdf.context.register(
      pdf.context.obj({
        ...{ Type: 'Annot', Subtype: 'Link', Rect: [0, 0, 612, 792] },
        A: { Type: 'Action', S: 'URI', URI: PDFString.of("javascript:alert('link')") },
      }),
    ),
  )
  pdf.catalog.set(PDFName.of('OpenAction'), pdf.context.obj({ S: 'JavaScript', JS: PDFString.of("app.alert('open')") }))
  return pdf.save()
}

/** The photo, with words of the camera's (CIPA DC-008: processing software, description, make, model, software, artist). */
function hostilePhoto(): Buffer {
  const tags = { 11: 'exif', 270: 'description', 271: 'make', 272: 'model', 305: 'software', 315: 'artist' }
  const words = Object.entries(tags).map(([tag, name]) => [tag, script(name)])
  const body = Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), writeTiff(Object.fromEntries(words))])
  const head = Buffer.from([0xff, 0xd8, 0xff, 0xe1, 0, 0])
  head.writeUInt16BE(body.length + 2, 4)
  const photo = readFileSync(join(example, 'IMG_4498.jpg'))
  // Its own segment of this kind, the first, gives way.
  expect(photo.readUInt16BE(2)).toBe(0xffe1)
  return Buffer.concat([head, body, photo.subarray(4 + photo.readUInt16BE(4))])
}

beforeAll(async () => {
  place = await openDeskPlace({ page: await readBuiltPage() })
  browser = await launchChromium()
  page = await browser.newPage({ viewport: { width: 1280, height: 900 } })
  page.setDefaultTimeout(60_000)
  page.on('dialog', (dialog) => {
    ran.push(dialog.message())
    void dialog.dismiss()
  })
  page.on('console', (message) => void said.push(message.text()))
  page.on('pageerror', (error) => void said.push(error.message))
  await page.goto(`${place.address}/enter?once=the-link`)
  const ada = await place.visitor('Ada Quill')
  const declared = readFileSync(join(example, 'packet.yaml'), 'utf8').replace('Mossgate', script('yaml'))
  const files = readdirSync(example)
    .filter((name) => name !== 'packet.yaml' && name !== 'scan after.pdf')
    .map((name) => [name, readFileSync(join(example, name))] as const)
  const accession = await handOverFiles(place, ada, script('name').replaceAll('/', ''), [
    ...files,
    ['packet.yaml', Buffer.from(declared)],
    [`${script('path')}.pdf`, await hostilePdf()],
    ['from a camera.jpg', hostilePhoto()],
    [`${script('words')}.txt`, Buffer.from(`Technician's note\n${script('note')}\nVIN 7XRCB8HLXNSS18264\n`)],
  ])
  packet = (await ada.ask('GET', `/api/packets/${accession}`)).json()
})

afterAll(async () => {
  await browser?.close()
  await place?.close()
})

/** Shows a page of the desk until it has come to rest; gives its words, without spaces. */
async function show(path: string): Promise<string> {
  await page.goto(place.address + path)
  await page.locator('h1').first().waitFor()
  await page.waitForLoadState('networkidle').catch(() => undefined)
  return ((await page.locator('body').textContent()) ?? '').replaceAll(/\s/g, '')
}

const address = () => `/packets/${packet.row.accession}`

test('what a page shows of it are words', async () => {
  expect(await show('/')).toContain(shown('name'))
  expect(await show(`${address()}?part=files`)).toContain(shown('path'))
})

test('what every file says is shown as words', async () => {
  const pages = new Map<string, string>()
  for (const { number, path } of packet.files) pages.set(path, await show(`${address()}?part=files&file=${number}`))
  expect(pages.get('packet.yaml')).toContain(shown('yaml'))
  expect(pages.get(`${script('words')}.txt`)).toContain(shown('note'))
})

test('no finding and no part runs it', async () => {
  const pages: string[] = []
  for (const [at, { verdict }] of packet.report?.findings.entries() ?? [])
    if (verdict === 'fail' || verdict === 'warn') pages.push(await show(`${address()}?finding=${at + 1}`))
  for (const part of ['settle', 'events', 'drive', 'custody']) pages.push(await show(`${address()}?part=${part}`))
  for (const path of [`/compare?before=${packet.row.accession}&after=${packet.row.accession}`, '/audit'])
    pages.push(await show(path))
  for (const where of ['path', 'pdf', 'exif'])
    expect(
      pages.some((text) => text.includes(shown(where))),
      where,
    ).toBe(true)
})

test('nothing ran, and the policy of the page had nothing to stop', () => {
  expect(ran).toEqual([])
  expect(said).toEqual([])
  expect(place.faults).toEqual([])
})
