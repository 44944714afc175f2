import { useLocation, useSearch } from 'wouter'
import type { AuditView } from '../../contract.ts'
import { useAudit } from '../api/queries.ts'
import { problemOf } from '../api/request.ts'
import { count, percentText } from '../logic/amounts.ts'
import { Choice } from '../parts/form-parts.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useTitle } from '../parts/use-title.ts'
import { Waiting } from '../parts/waiting.tsx'
import { AuditTable } from './audit-table.tsx'
import { DrivesChart } from './drives-chart.tsx'
import { FunnelChart } from './funnel-chart.tsx'

const groups = ['shop', 'technician', 'instrument'] as const

/** Figures over all packets, compared fairly: nobody is ranked. */
export function AuditPage() {
  const [, navigate] = useLocation()
  const asked = new URLSearchParams(useSearch()).get('by')
  const by = groups.find((group) => group === asked) ?? 'shop'
  const audit = useAudit(by)
  useTitle(`Figures by ${by} – Desk`)
  return (
    <div className="part audit">
      <div className="queue-head">
        <h1>Figures by {by}</h1>
        <Choice
          label="By"
          value={by}
          choices={groups.map((value) => ({ value, words: value }))}
          change={(value) => navigate(`/audit?by=${value}`, { replace: true })}
        />
      </div>
      {audit.isError ? <ProblemNote problem={problemOf(audit.error)} retry={() => void audit.refetch()} /> : null}
      {audit.isPending ? <Waiting what="the figures" /> : null}
      {audit.data === undefined ? null : <Figures audit={audit.data} />}
    </div>
  )
}

function Figures({ audit }: { audit: AuditView }) {
  const { group, jobs, fails, rate, unnamed, leastJobs, notes } = audit
  const drives = audit.groups.filter((one) => one.drives !== null)
  return (
    <>
      <p>
        {count(jobs, 'job')}, {fails} fail{jobs === 0 ? '' : ` (${percentText(rate)})`}.{' '}
        {unnamed > 0 ? `In ${unnamed} of them no ${group} was read. ` : ''}
        Groups with fewer than {leastJobs} jobs are counted and not compared.
      </p>
      {jobs === 0 ? (
        <p>No job has a report yet.</p>
      ) : (
        <>
          <div className="drive-figures">
            <section>
              <h2>Jobs that fail</h2>
              <FunnelChart audit={audit} />
            </section>
            {drives.length === 0 ? null : (
              <section>
                <h2>Drives</h2>
                <DrivesChart groups={drives} />
              </section>
            )}
          </div>
          <section>
            <h2>Figures</h2>
            <AuditTable audit={audit} />
          </section>
        </>
      )}
      <section className="cautions">
        <h2>How to read it</h2>
        {notes.map((note) => (
          <p key={note}>{note}</p>
        ))}
      </section>
    </>
  )
}
