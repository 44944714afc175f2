import type { Report } from '../../../index.ts'
import { count } from '../logic/amounts.ts'
import { shapeProgress } from '../logic/progress-shape.ts'

type Document = Report['documents'][number]
type Calibration = NonNullable<Document['calibrations']>[number]

const outcomes: Record<Calibration['outcome'], string> = {
  completed: '✓ completed',
  failed: '✕ failed',
  aborted: '✕ broken off',
  'not-performed': '– not performed',
  unknown: '– not told',
}

/** How far each recorded calibration came, and what attempts it took. */
export function Calibrations({ documents }: { documents: readonly Document[] }) {
  const all = documents.flatMap(({ file, calibrations = [] }) =>
    calibrations.map((calibration, at) => ({ file, calibration, key: `${file} ${at}` })),
  )
  if (all.length === 0) return null
  return (
    <section>
      <h2>Calibrations ({all.length})</h2>
      <div className="pair">
        {all.map(({ file, calibration, key }) => (
          <OneCalibration key={key} file={file} calibration={calibration} />
        ))}
      </div>
    </section>
  )
}

function OneCalibration({ file, calibration }: { file: string; calibration: Calibration }) {
  const {
    sensor,
    position,
    method,
    outcome,
    progressPercent,
    started,
    ended,
    attempts = [],
    attemptCount,
    readings,
  } = calibration
  const name = [position, sensor].flatMap((part) => (part ? part.replaceAll('-', ' ') : [])).join(' ')
  return (
    <article className="calibration">
      <h3>
        {name}, {method === 'unknown' ? 'method not told' : method}
      </h3>
      <p>
        <strong>{outcomes[outcome]}</strong> <span className="quiet">in {file}</span>
      </p>
      {progressPercent === undefined ? null : (
        <p className="percent">
          <progress max={100} value={progressPercent} aria-label={`How far ${name} came`} /> {progressPercent} %
        </p>
      )}
      {started === undefined && ended === undefined ? null : (
        <p className="quiet">
          {started === undefined ? 'start not told' : `from ${started.text}`}
          {ended === undefined ? '' : ` to ${ended.text}`}
        </p>
      )}
      {readings === undefined || readings.length < 2 ? null : <Progress readings={readings} />}
      {attempts.length === 0 ? null : (
        <ol className="plain">
          {attempts.map((attempt, at) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: attempts are told apart by their order alone.
            <li key={at}>
              {outcomes[attempt.outcome]}
              {attempt.progressPercent === undefined ? '' : `, ${attempt.progressPercent} %`}
              {attempt.at === undefined ? '' : `, ${attempt.at.text}`}
            </li>
          ))}
        </ol>
      )}
      {attemptCount === undefined ? null : <p className="quiet">The record counts {count(attemptCount, 'attempt')}.</p>}
    </article>
  )
}

const [width, height] = [320, 90]

function Progress({ readings }: { readings: NonNullable<Calibration['readings']> }) {
  const points = shapeProgress(readings)
  const percents = readings.map(({ percent }) => `${percent} %`).join(', ')
  return (
    <svg
      className="progress-line"
      viewBox={`0 0 ${width} ${height + 4}`}
      role="img"
      aria-label={`Progress as recorded: ${percents}`}
    >
      {[0, 0.5, 1].map((part) => (
        <line key={part} className="axis" x1="0" x2={width} y1={2 + height * (1 - part)} y2={2 + height * (1 - part)} />
      ))}
      <polyline className="speed" points={points.map(({ x, y }) => `${x * width},${2 + height * (1 - y)}`).join(' ')} />
      {points.map(({ x, y }) => (
        <circle key={x} cx={x * width} cy={2 + height * (1 - y)} r="2.5" />
      ))}
    </svg>
  )
}
