/** Somebody who looks at the desk in a browser: how long until something is painted, and until the words that prove a finding are marked. */
import type { Browser, Page } from 'playwright-core'
import { type Measures, noteError, noteTime } from './measures.ts'

export const barePaint = 'first paint of a bare page (the reference)'

interface LookerOptions {
  desk: string
  /** As a request carries it: `name=value`. */
  cookie: string
  /** A packet whose first finding rests on words of a PDF. */
  accession: string
  /** Of the bare page. */
  reference: string
  measures: Measures
  /** Put before what is measured. */
  when: string
}

const marked = '.look:has(canvas[data-drawn]) .mark'

/** Looks once with nothing kept from before. What goes wrong is noted. */
export async function lookOnce(browser: Browser, options: LookerOptions): Promise<void> {
  const { desk, cookie, accession, reference, measures, when } = options
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 } })
  context.setDefaultTimeout(120_000)
  const note = (what: string, milliseconds: number) => noteTime(measures, `${when}${what}`, milliseconds)
  const timed = async (what: string, work: () => Promise<unknown>) => {
    const begun = performance.now()
    await work()
    note(what, performance.now() - begun)
  }
  try {
    const [name = '', value = ''] = cookie.split('=')
    await context.addCookies([{ name, value, url: desk }])
    const page = await context.newPage()
    await page.goto(`${reference}/page`)
    note(barePaint, await firstPaint(page))
    await timed('queue, from its address to its rows', async () => {
      await page.goto(`${desk}/`)
      await page.locator('.queue-table tbody tr').first().waitFor()
    })
    note('first paint of the queue', await firstPaint(page))
    await timed('packet, from its address to marked words', async () => {
      await page.goto(`${desk}/packets/${accession}?finding=1`)
      await page.locator(marked).first().waitFor()
    })
    note('first paint of a packet', await firstPaint(page))
    await page.locator('[data-finding="2"]').click()
    await page.locator('[data-finding="2"][aria-current="true"]').waitFor()
    await timed('from choosing a finding to its marked page', async () => {
      await page.locator('[data-finding="1"]').click()
      await page.locator('[data-finding="1"][aria-current="true"]').waitFor()
      await page.locator(marked).first().waitFor()
    })
  } catch (error) {
    noteError(measures, `${when}the browser: ${error instanceof Error ? error.message : String(error)}`)
  } finally {
    await context.close()
  }
}

/** Milliseconds from the start of loading to the first contents on the screen (W3C Paint Timing). */
function firstPaint(page: Page): Promise<number> {
  return page.evaluate<number>(`new Promise((tell) => {
    new PerformanceObserver((list) => {
      const [entry] = list.getEntriesByName('first-contentful-paint')
      if (entry !== undefined) tell(entry.startTime)
    }).observe({ type: 'paint', buffered: true })
  })`)
}
