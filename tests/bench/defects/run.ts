/** Runs cases on several threads. */
import { Worker } from 'node:worker_threads'
import type { Case } from './cases.ts'
import type { Result } from './run-case.ts'

/** Reviews every case; the results stand in the order of the cases, whatever thread was first. */
export async function runCases(
  cases: readonly Case[],
  threads: number,
  told: (done: number) => void = () => {},
): Promise<Result[]> {
  const results: Result[] = []
  let next = 0
  let done = 0
  const work = async (): Promise<void> => {
    const worker = new Worker(new URL('./worker.ts', import.meta.url))
    try {
      for (let index = next++; index < cases.length; index = next++) {
        results[index] = await ask(worker, cases[index]!)
        told(++done)
      }
    } finally {
      await worker.terminate()
    }
  }
  await Promise.all(Array.from({ length: Math.max(1, Math.min(threads, cases.length)) }, work))
  return results
}

function ask(worker: Worker, one: Case): Promise<Result> {
  return new Promise((resolve, reject) => {
    const settle = (answer: { result?: Result; error?: string }): void => {
      worker.off('error', reject)
      if (answer.result) resolve(answer.result)
      else reject(new Error(answer.error))
    }
    worker.once('message', settle)
    worker.once('error', reject)
    worker.postMessage(one)
  })
}
