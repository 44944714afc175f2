/** Packets on their way to the desk: sent file by file, each told how far it is, and tried again by hand where it fails. */
import type { JobView, NewUpload, Problem, UploadView } from '../../contract.ts'
import type { PlannedPacket } from '../logic/dropped.ts'
import { ask, askJson, onceHeaders, problemOf } from './request.ts'
import { sendFile } from './send-file.ts'

export interface Sending {
  key: string
  name: string
  files: number
  filesSent: number
  bytes: number
  bytesSent: number
  stage: 'waiting' | 'sending' | 'sent' | 'failed' | 'dropped'
  problem: Problem | null
  /** What the desk makes of it, once all is there. */
  job: JobView | null
}

interface Work {
  view: Sending
  packet: PlannedPacket<File>
  wanted: NewUpload
  upload: string | null
  sent: Set<string>
  /** So that a request which is sent twice is done once. */
  onceBegin: string
  onceDone: string
  abort: AbortController
}

const atOnce = 3

/** One a page; see `useSendings`. */
export class Uploads {
  private works: Work[] = []
  private listeners = new Set<() => void>()
  private views: readonly Sending[] = []
  private isBusy = false
  /** Told of jobs that begin. */
  onJob: (job: JobView) => void = () => {}

  subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener)
    return () => this.listeners.delete(listener)
  }

  snapshot = (): readonly Sending[] => this.views

  /** Puts packets in line. */
  add(packets: readonly { packet: PlannedPacket<File>; wanted: NewUpload }[]): void {
    for (const { packet, wanted } of packets) {
      const view: Sending = {
        key: crypto.randomUUID(),
        name: wanted.name,
        files: packet.files.length,
        filesSent: 0,
        bytes: packet.files.reduce((sum, { file }) => sum + file.size, 0),
        bytesSent: 0,
        stage: 'waiting',
        problem: null,
        job: null,
      }
      this.works.push({
        view,
        packet,
        wanted,
        upload: null,
        sent: new Set(),
        ...freshKeys(),
        abort: new AbortController(),
      })
    }
    this.tell()
    void this.next()
  }

  /** Sends what is lacking of one that failed; from the beginning where the desk refused the whole. */
  retry(key: string, change: Partial<NewUpload> = {}): void {
    const work = this.find(key)
    if (work === undefined || work.view.stage === 'sending') return
    work.wanted = { ...work.wanted, ...change }
    work.abort = new AbortController()
    if (work.view.job !== null || Object.keys(change).length > 0)
      Object.assign(work, { upload: null, sent: new Set() }, freshKeys())
    this.change(work, { stage: 'waiting', problem: null, job: null })
    void this.next()
  }

  /** Stops one and takes it off the list. */
  drop(key: string): void {
    const work = this.find(key)
    if (work === undefined) return
    work.abort.abort()
    if (work.upload !== null && work.view.stage !== 'sent')
      void ask(`/api/uploads/${work.upload}`, { method: 'DELETE' }).catch(() => {})
    this.works = this.works.filter((one) => one !== work)
    this.tell()
  }

  private find = (key: string): Work | undefined => this.works.find(({ view }) => view.key === key)

  private async next(): Promise<void> {
    const work = this.works.find(({ view }) => view.stage === 'waiting')
    if (this.isBusy || work === undefined) return
    this.isBusy = true
    this.change(work, { stage: 'sending' })
    try {
      const job = await this.send(work)
      this.change(work, { stage: 'sent', job })
      this.onJob(job)
    } catch (error) {
      if (this.works.includes(work)) this.change(work, { stage: 'failed', problem: problemOf(error) })
    } finally {
      this.isBusy = false
      void this.next()
    }
  }

  private async send(work: Work): Promise<JobView> {
    const { packet, wanted, abort } = work
    const { signal } = abort
    if (work.upload === null) {
      const asking = { method: 'POST', body: wanted, headers: onceHeaders(work.onceBegin), signal } as const
      work.upload = (await askJson<UploadView>('/api/uploads', asking)).upload
    }
    const lacking = packet.files.filter(({ path }) => !work.sent.has(path))
    const coming = new Map<string, number>()
    const sentBefore = packet.files.reduce((sum, { path, file }) => sum + (work.sent.has(path) ? file.size : 0), 0)
    let done = sentBefore
    const tellBytes = () =>
      this.change(work, {
        bytesSent: done + [...coming.values()].reduce((sum, bytes) => sum + bytes, 0),
        filesSent: work.sent.size,
      })
    tellBytes()
    const line = async () => {
      for (let next = lacking.shift(); next !== undefined; next = lacking.shift()) {
        const { path, file } = next
        await sendFile(`/api/uploads/${work.upload}/files?${new URLSearchParams({ path })}`, file, {
          signal,
          progress(bytes) {
            coming.set(path, bytes)
            tellBytes()
          },
        })
        coming.delete(path)
        work.sent.add(path)
        done += file.size
        tellBytes()
      }
    }
    try {
      await Promise.all(Array.from({ length: atOnce }, line))
    } catch (error) {
      // The other lines end with the first that fails.
      lacking.length = 0
      throw error
    }
    return askJson<JobView>(`/api/uploads/${work.upload}/done`, {
      method: 'POST',
      headers: onceHeaders(work.onceDone),
      signal,
    })
  }

  private change(work: Work, change: Partial<Sending>): void {
    work.view = { ...work.view, ...change }
    this.tell()
  }

  private tell(): void {
    this.views = this.works.map(({ view }) => view)
    for (const listener of this.listeners) listener()
  }
}

const freshKeys = () => ({ onceBegin: crypto.randomUUID(), onceDone: crypto.randomUUID() })
