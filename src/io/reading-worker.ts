/** What runs in a reading process: reads the files that the parent sends, one at a time. */
import type { Reading } from '../facts/reading.ts'
import { readFile } from '../reading/read.ts'
import { answerRequests } from './worker-channel.ts'

/** More than a thousand full pages, or a day of fixes at 5 Hz. The parent must hold what we send. */
const mostItems = 500_000

answerRequests(async (bytes, hint) => bound(await readFile(bytes, hint), hint.path))

function bound(reading: Reading, path: string): Reading {
  const words = reading.pages.reduce((sum, page) => sum + page.words.length, 0)
  if (words <= mostItems && (reading.track?.points.length ?? 0) <= mostItems) return reading
  const message = `${path} holds more than ${mostItems} words or track points: split it`
  return { media: reading.media, pages: [], problems: [...reading.problems, { code: 'too-large', message }] }
}
