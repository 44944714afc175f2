import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Pictures } from '../../src/findings/pictures.ts'
import type { Report } from '../../src/findings/report.ts'
import { renderHtml } from '../../src/report/html.ts'
import { html, writeMarkup } from '../../src/report/markup.ts'
import { neutralise } from '../../src/report/terminal-text.ts'
import { readPage } from './html-page.ts'
import { makeFinding, makeFullReport, makeReport } from './invented.ts'

const pictures: Pictures = {
  pictures: [
    {
      file: 'one.pdf',
      page: 2,
      isPhoto: false,
      marks: [[100, 50, 180, 60]],
      words: ['1Q9ZZ'],
      findings: [0, 1],
      drawn: {
        jpeg: Uint8Array.of(255, 216, 255, 217),
        widthPixels: 1100,
        heightPixels: 400,
        region: [0, 20, 612, 200],
      },
    },
    {
      file: 'two.pdf',
      page: 1,
      isPhoto: false,
      marks: [[1, 2, 3, 4]],
      words: [],
      findings: [1],
      drawn: { fault: 'it is damaged' },
    },
  ],
  left: 3,
}

const render = (changes: Partial<Report> = {}) => renderHtml(makeFullReport(changes), { pictures })
const named = (page: string, name: string) => readPage(page).filter((element) => element.name === name)

describe('the page', () => {
  test('is well formed, in English, with one title, one first heading and one main part', () => {
    const page = render()
    const [root] = readPage(page)
    expect(root).toMatchObject({ name: 'html', attributes: { lang: 'en' } })
    for (const name of ['title', 'h1', 'main', 'header', 'nav', 'footer']) expect(named(page, name)).toHaveLength(1)
    expect(named(page, 'title')[0]?.text).toBe('FAIL: Review of job 12')
  })

  test('loads nothing and runs nothing', () => {
    const page = render()
    const elements = readPage(page)
    const policy = elements.find(({ attributes }) => attributes['http-equiv'] === 'Content-Security-Policy')
    expect(policy?.attributes.content).toBe("default-src 'none'; style-src 'unsafe-inline'; img-src data:")
    const names = new Set(elements.map(({ name }) => name))
    for (const name of ['script', 'link', 'iframe', 'object', 'embed', 'form', 'base'])
      expect(names).not.toContain(name)
    for (const { attributes } of elements) {
      for (const [name, value] of Object.entries(attributes)) {
        expect(name).not.toMatch(/^on/i)
        if (name === 'href') expect(value).toMatch(/^#/)
        if (name === 'src') expect(value).toMatch(/^data:image\/jpeg;base64,[A-Za-z0-9+/]+=*$/)
      }
    }
    expect(page).not.toMatch(/url\(|@import|https?:/)
  })

  test('has headings without a gap between their levels', () => {
    const levels = readPage(render()).flatMap(({ name }) => (/^h[1-6]$/.test(name) ? [Number(name[1])] : []))
    expect(levels[0]).toBe(1)
    for (const [index, level] of levels.entries()) expect(level).toBeLessThanOrEqual((levels[index - 1] ?? 0) + 1)
  })

  test('has ids that are there once, and no link or label that points nowhere', () => {
    const elements = readPage(render())
    const ids = elements.flatMap(({ attributes }) => attributes.id ?? [])
    expect(new Set(ids).size).toBe(ids.length)
    const targets = elements.flatMap(({ attributes }) => [
      ...(attributes.href === undefined ? [] : [attributes.href.slice(1)]),
      ...(attributes['aria-labelledby'] === undefined ? [] : [attributes['aria-labelledby']]),
    ])
    expect(targets.length).toBeGreaterThan(10)
    expect(targets.filter((target) => !ids.includes(target))).toEqual([])
  })

  test('has a section for all that the report holds, worst findings first', () => {
    expect(named(render(), 'h2').map(({ text }) => text)).toEqual([
      'What would settle it',
      'What fails (1)',
      'What a person must look at (1)',
      'Who is exposed, and to what',
      'Order of events',
      'Codes before and after',
      'Not checked (1): the packet holds too little to say, or it does not apply',
      'What holds (1)',
      'Reading problems (1)',
      'Files (2)',
      'Rulebook',
      'Cautions',
    ])
  })

  test('tells of each finding its reason, places, steps, rule, remedy and who is exposed', () => {
    const [article, second] = named(render(), 'article')
    for (const words of [
      'FAIL',
      'one.pdf shows another VIN than two.pdf.',
      'one.pdf, page 2: “1Q9ZZ”',
      '3 minus 1 is 2.',
      'One VIN is assigned to one vehicle.',
      'Read the VIN at the vehicle.',
      'insurer, to paying for another vehicle',
    ])
      expect(article?.text).toContain(words)
    expect(second?.text).toContain('one.pdf says so.')
  })

  test('tells the whole of every hash', () => {
    const { text } = named(render(), 'main')[0] as { text: string }
    for (const hash of [`sha256:${'ab'.repeat(32)}`, 'cd'.repeat(32), 'ef'.repeat(32)]) expect(text).toContain(hash)
  })

  test('needs nothing that the report may lack', () => {
    const page = renderHtml(
      makeReport({ findings: [], counts: { pass: 0, warn: 0, fail: 0, notChecked: 0 }, verdict: 'warn' }),
    )
    expect(named(page, 'article')).toEqual([])
    expect(named(page, 'h2').map(({ text }) => text)).toEqual(['Files (0)', 'Rulebook', 'Cautions'])
  })

  test('is the same every time', () => {
    expect(render()).toBe(render())
  })
})

describe('a picture', () => {
  test('stands with the first finding that rests on it, its words in its alternative text', () => {
    const [first, second] = named(render(), 'article')
    const images = named(render(), 'img')
    expect(images).toHaveLength(1)
    expect(images[0]?.attributes).toMatchObject({
      alt: 'Marked: “1Q9ZZ”',
      width: '1100',
      height: '400',
      src: 'data:image/jpeg;base64,/9j/2Q==',
    })
    expect(first?.text).not.toContain('is shown with')
    expect(second?.text).toContain('one.pdf, page 2 is shown with finding no. 1.')
  })

  test('has its marks where the words are, in the units of the page', () => {
    const overlay = named(render(), 'svg').find(({ attributes }) => attributes.viewBox === '0 0 612 180')
    expect(overlay?.attributes['aria-hidden']).toBe('true')
    // Two points of air around the words: 100 - 2, 50 - 20 - 2, 80 + 4, 10 + 4.
    expect(named(render(), 'rect').map(({ attributes }) => attributes)).toContainEqual({
      x: '98',
      y: '28',
      width: '84',
      height: '14',
    })
  })

  test('that could not be drawn, and those that are too many, are told', () => {
    const { text } = named(render(), 'main')[0] as { text: string }
    expect(text).toContain('two.pdf, page 1 cannot be shown: it is damaged.')
    expect(text).toContain('3 more pictures are left out')
  })
})

describe('words from files', () => {
  const evil = `</style></title><script>alert(1)</script>"'><img src=x onerror=alert(1)>&lt;\u202Egnp.exe\u0000\u2066`

  test('are shown and not obeyed', () => {
    const finding = makeFinding({
      reason: evil,
      basis: evil,
      remedy: evil,
      evidence: [{ file: evil, page: 1, text: evil }],
    })
    const page = render({
      packet: evil,
      vehicle: { vin: evil, make: evil },
      findings: [finding],
      cautions: [evil],
      zone: null,
    })
    expect(named(page, 'h4')[0]?.text).toBe(neutralise(evil))
    expect(named(page, 'script')).toEqual([])
    expect(page).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u202a-\u202e\u2066-\u2069]/)
  })

  test('come out of a template as they went in, whatever they are', { timeout: 60_000 }, () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        const [element] = readPage(writeMarkup(html`<p title="${text}">${text}</p>`))
        expect(element?.text).toBe(neutralise(text))
        expect(element?.attributes.title).toBe(neutralise(text))
      }),
    )
  })

  test('that look like markup of ours are none', () => {
    const forged = JSON.parse('{"markup":"<b>","Symbol(markup)":"<b>"}')
    expect(() => writeMarkup(html`<p>${forged}</p>`)).toThrow()
  })
})
