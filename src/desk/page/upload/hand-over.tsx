import { useQueryClient } from '@tanstack/react-query'
import { type ReactNode, useEffect, useMemo, useState } from 'react'
import { useLocation } from 'wouter'
import { noteJob } from '../api/events.ts'
import { problemOf } from '../api/request.ts'
import { Uploads } from '../api/uploads.ts'
import { type NamedFile, type PlannedPacket, planPackets } from '../logic/dropped.ts'
import { maySubmit } from '../logic/rights.ts'
import { Dialog } from '../parts/dialog.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useWho } from '../parts/session-context.ts'
import { HandOverForm } from './hand-over-form.tsx'
import { UploadsContext } from './uploads-context.ts'
import { useDroppedFiles } from './use-dropped-files.ts'

/** Takes what is dropped anywhere on the page, asks what it is, and has it sent. */
export function HandOver({ children }: { children: ReactNode }) {
  const who = useWho()
  const client = useQueryClient()
  const [location, navigate] = useLocation()
  const [uploads] = useState(() => new Uploads())
  const [planned, setPlanned] = useState<PlannedPacket<File>[] | null>(null)
  const [fault, setFault] = useState<Error | null>(null)
  useEffect(() => {
    uploads.onJob = (job) => noteJob(client, job)
  }, [client, uploads])
  const handing = useMemo(() => {
    const offer = (files: readonly NamedFile<File>[]) => {
      setFault(null)
      setPlanned(planPackets(files, `files of ${new Date().toISOString().slice(0, 10)}`))
    }
    return { uploads, offer }
  }, [uploads])
  const isOver = useDroppedFiles(maySubmit(who), handing.offer, (error) => {
    setFault(error)
    setPlanned([])
  })
  const close = () => setPlanned(null)
  return (
    <UploadsContext value={handing}>
      {children}
      {isOver ? (
        <div className="drop-here" aria-hidden="true">
          <p>Let go to hand it over: a folder or a zip is a packet</p>
        </div>
      ) : null}
      {planned === null ? null : (
        <Dialog title="Hand over" close={close}>
          {fault === null ? null : (
            <ProblemNote
              problem={{
                ...problemOf(fault),
                title: 'It cannot be read',
                mend: 'Copy it to a disk of this machine and drop it again.',
              }}
            />
          )}
          {fault === null && planned.length === 0 ? <p>Nothing in it is a file.</p> : null}
          {planned.length === 0 ? null : (
            <HandOverForm
              packets={planned}
              begin={(packets) => {
                uploads.add(packets)
                close()
                // Where it is told how far they are.
                if (location !== '/') navigate('/')
              }}
            />
          )}
        </Dialog>
      )}
    </UploadsContext>
  )
}
