import { Fragment } from 'react'
import type { ReportView } from '../../../index.ts'
import type { PacketView } from '../../contract.ts'
import { findRange, type Hours, hourMarks, placeHours } from '../logic/hours.ts'

type Timeline = NonNullable<ReportView['timeline']>
type Day = Timeline['days'][number]

/** The order of events as far as the records tell, and the trouble codes before and after. */
export function EventsPart({ packet: { view } }: { packet: PacketView }) {
  if (view === null) return null
  const { timeline, codes } = view
  return (
    <div className="part">
      {timeline === null ? null : (
        <section>
          <h2>{timeline.heading}</h2>
          <p className="quiet">
            {timeline.note} In the strips, pale is when it may have gone on, and solid when it certainly did.
          </p>
          {timeline.days.map((day) => (
            <DayTable key={day.day} day={day} />
          ))}
        </section>
      )}
      {codes === null ? null : (
        <section>
          <h2>{codes.heading}</h2>
          {codes.rows.length === 0 ? <p>{codes.none}</p> : <CodesTable rows={codes.rows} />}
        </section>
      )}
    </div>
  )
}

function DayTable({ day: { day, events } }: { day: Day }) {
  const range = findRange(events)
  return (
    <table className="times">
      <caption>{day}</caption>
      <thead>
        <tr>
          <th scope="col">Time</th>
          <th scope="col">Event</th>
          <th scope="col">File</th>
          <th scope="col" className="strip">
            {range === null ? null : <HoursScale range={range} />}
          </th>
        </tr>
      </thead>
      <tbody>
        {events.map((event) => (
          <tr key={`${event.what} ${event.file} ${event.time}`}>
            <td>{event.time}</td>
            <th scope="row">{event.what}</th>
            <td>{event.file}</td>
            <td className="strip">{range === null ? null : <HoursStrip event={event} range={range} />}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function HoursScale({ range }: { range: Hours }) {
  return (
    <>
      <span className="hidden">Hours</span>
      <svg viewBox="0 0 1000 30" aria-hidden="true" focusable="false" className="hours">
        {hourMarks(range).map((hour) => (
          <text key={hour} x={(1000 * (hour - range[0])) / (range[1] - range[0])} y="24" textAnchor="middle">
            {String(hour).padStart(2, '0')}
          </text>
        ))}
      </svg>
    </>
  )
}

/** Repeats what the times beside it say. */
function HoursStrip({ event, range }: { event: Day['events'][number]; range: Hours }) {
  const bars = [
    ['may', event.possible],
    ['sure', event.certain],
  ] as const
  return (
    <svg className="hours-strip" viewBox="0 0 1000 40" preserveAspectRatio="none" aria-hidden="true" focusable="false">
      {hourMarks(range).map((hour) => {
        const x = (1000 * (hour - range[0])) / (range[1] - range[0])
        return <line key={hour} x1={x} x2={x} y1="0" y2="40" />
      })}
      {bars.map(([name, hours]) => {
        if (hours === null) return null
        const { from, to, openBefore, openAfter } = placeHours(hours, range)
        return (
          <Fragment key={name}>
            <rect className={name} x={from * 1000} y="8" width={(to - from) * 1000} height="24" />
            {openBefore ? <path className="open" d="M14 4 L0 20 L14 36" /> : null}
            {openAfter ? <path className="open" d="M986 4 L1000 20 L986 36" /> : null}
          </Fragment>
        )
      })}
    </svg>
  )
}

function CodesTable({ rows }: { rows: NonNullable<ReportView['codes']>['rows'] }) {
  return (
    <table>
      <thead>
        <tr>
          {['Code', 'Module', 'Before the work', 'After the work'].map((name) => (
            <th key={name} scope="col">
              {name}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map(({ code, module, before, after, text }) => (
          <tr key={`${code} ${module}`}>
            <th scope="row">
              {code} {text === '' ? null : <span className="below">{text}</span>}
            </th>
            <td>{module}</td>
            <td>{before}</td>
            <td>{after}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
