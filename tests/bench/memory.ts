/** Resident memory of a program and of the processes that it starts, from /proc (proc(5)): Linux only. */
import { spawn } from 'node:child_process'
import { createWriteStream, readdirSync, readFileSync } from 'node:fs'
import PDFDocument from 'pdfkit'

export interface Peaks {
  /** MiB. */
  parent: number
  /** MiB, of the largest child. */
  child: number
}

/** A PDF of as many pages of a code list as asked for; no two lines alike, some 300 words a page. */
export function writeLongPdf(path: string, pages: number): Promise<void> {
  return new Promise((resolve, reject) => {
    const document = new PDFDocument({ size: 'A4', margin: 40 })
    const file = createWriteStream(path).on('finish', resolve).on('error', reject)
    document.pipe(file)
    for (let page = 0; page < pages; page++) {
      if (page > 0) document.addPage()
      document.fontSize(9).text(`Live data, page ${page + 1}`, 40, 40)
      for (let line = 0; line < 50; line++)
        document.text(`Item ${page * 50 + line} wheel speed ${line}.${page} km/h`, 40, 60 + line * 14, {
          lineBreak: false,
        })
    }
    document.end()
  })
}

const peakOf = (pid: string | number): number => {
  try {
    return Number(/^VmHWM:\s*(\d+) kB$/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1] ?? 0) / 1024
  } catch {
    return 0
  }
}

/** Resident MiB of a process now; 0 for one that is gone. */
export function residentOf(pid: string | number): number {
  try {
    return Number(/^VmRSS:\s*(\d+) kB$/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1] ?? 0) / 1024
  } catch {
    return 0
  }
}

export function childrenOf(pid: number): string[] {
  try {
    return readdirSync(`/proc/${pid}/task`).flatMap((task) =>
      readFileSync(`/proc/${pid}/task/${task}/children`, 'utf8')
        .split(' ')
        .filter((child) => child !== ''),
    )
  } catch {
    return []
  }
}

/** Runs a Node.js program and looks every 20 ms at the largest resident memory that the kernel has noted so far. */
export async function measurePeaks(words: readonly string[]): Promise<Peaks> {
  const peaks: Peaks = { parent: 0, child: 0 }
  const program = spawn(process.execPath, words, { stdio: 'ignore' })
  const pid = program.pid ?? 0
  const watch = setInterval(() => {
    peaks.parent = Math.max(peaks.parent, peakOf(pid))
    for (const child of childrenOf(pid)) peaks.child = Math.max(peaks.child, peakOf(child))
  }, 20)
  const status = await new Promise((resolve) => program.on('close', resolve))
  clearInterval(watch)
  if (status !== 0 && status !== 1) throw new Error(`${words.join(' ')} ended with status ${status}`)
  return peaks
}
