/** Reviews cases sent by the main thread, one at a time. */
import { parentPort } from 'node:worker_threads'
import type { Case } from './cases.ts'
import { openReviewer } from './review.ts'
import { runCase } from './run-case.ts'

const review = await openReviewer()

parentPort?.on('message', async (one: Case) => {
  try {
    const { result } = await runCase(one, review)
    parentPort?.postMessage({ result })
  } catch (error) {
    parentPort?.postMessage({
      error: `packet ${one.seed} (${one.planted.join(', ')}): ${error instanceof Error ? error.stack : error}`,
    })
  }
})
