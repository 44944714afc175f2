import { Link, useSearch } from 'wouter'
import type { ComparisonView } from '../../contract.ts'
import { useComparison } from '../api/queries.ts'
import { problemOf } from '../api/request.ts'
import { FieldList } from '../parts/field-list.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Scroller } from '../parts/scroller.tsx'
import { useTitle } from '../parts/use-title.ts'
import { Verdict } from '../parts/verdict.tsx'
import { Waiting } from '../parts/waiting.tsx'

/** What changed between two submissions, and what that means for the findings. */
export function ComparePage() {
  const parameters = new URLSearchParams(useSearch())
  const [before, after] = [parameters.get('before') ?? '', parameters.get('after') ?? '']
  const comparison = useComparison(before, after)
  useTitle('What changed – Desk')
  if (before === '' || after === '')
    return (
      <div className="narrow">
        <h1>What changed</h1>
        <p>The address names no two packets. A packet that follows another leads here.</p>
      </div>
    )
  if (comparison.isError)
    return (
      <div className="narrow">
        <h1>What changed</h1>
        <ProblemNote problem={problemOf(comparison.error)} retry={() => void comparison.refetch()} />
      </div>
    )
  if (comparison.isPending) return <Waiting what="what changed: both packets are read" />
  return <Comparison view={comparison.data} before={before} after={after} />
}

function Comparison({ view, before, after }: { view: ComparisonView; before: string; after: string }) {
  const { usedFacts, otherFacts, findings, files, words, cautions } = view
  return (
    <div className="part comparison">
      <header className={`packet-head ${view.after.verdict}`}>
        <div className="head-verdict turned">
          <p>
            before <Verdict verdict={view.before.verdict} large />
          </p>
          <p>
            after <Verdict verdict={view.after.verdict} large />
          </p>
        </div>
        <div className="head-about">
          <h1>{view.title}</h1>
          <p>{view.summary}</p>
          <div className="pair">
            {[
              { side: view.before, accession: before },
              { side: view.after, accession: after },
            ].map(({ side, accession }) => (
              <div key={accession}>
                <p>
                  <Link href={`/packets/${encodeURIComponent(accession)}`}>{side.packet}</Link>{' '}
                  <span className="quiet">{accession}</span>
                </p>
                <FieldList fields={side.fields} />
              </div>
            ))}
          </div>
        </div>
      </header>
      <Facts part={usedFacts} />
      {findings.map(({ heading, meaning, findings: found }) => (
        <section key={heading}>
          <h2>{heading}</h2>
          <p className="quiet">{meaning}</p>
          {found.map(({ verdict, was, check, sentences, fields }, at) => (
            <article key={`${check} ${sentences[0]?.lines[0] ?? at}`} className={`change ${verdict}`}>
              <h3>
                <Verdict verdict={verdict} /> <span className="quiet">{was}</span> {check}
              </h3>
              <FieldList fields={[...sentences, ...fields]} />
            </article>
          ))}
        </section>
      ))}
      <section>
        <h2>{files.heading}</h2>
        <ul className="plain">
          {files.files.map(({ word, name, remarks }) => (
            <li key={name}>
              <strong>{word}</strong>: {name} <span className="quiet">{remarks.join('; ')}</span>
            </li>
          ))}
        </ul>
        <p className="quiet">{files.same}</p>
      </section>
      <Facts part={otherFacts} />
      {otherFacts.left === '' ? null : <p className="quiet">{otherFacts.left}</p>}
      <Words words={words} />
      <section className="cautions">
        <h2>{cautions.heading}</h2>
        <ul className="plain">
          {cautions.lines.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      </section>
    </div>
  )
}

function Facts({ part: { heading, facts } }: { part: ComparisonView['usedFacts'] }) {
  if (facts.length === 0) return null
  return (
    <section>
      <h2>{heading}</h2>
      {facts.map(({ label, before, after, checks }, at) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: two facts can have the same name.
        <article key={at} className="change">
          <h3>{label}</h3>
          <div className="sides">
            {[before, after].map(({ label: side, lines: [value = '', ...places] }) => (
              <div key={side}>
                <p className="quiet">{side}</p>
                <p className="value">{value}</p>
                {places.map((place) => (
                  <p key={place} className="quiet">
                    {place}
                  </p>
                ))}
              </div>
            ))}
          </div>
          {checks === '' ? null : <p className="quiet">Rests on it: {checks}</p>}
        </article>
      ))}
    </section>
  )
}

/** Page by page what was taken out and put in, told by marks and not by colour alone. */
function Words({ words: { heading, pages } }: { words: ComparisonView['words'] }) {
  if (pages.length === 0) return null
  return (
    <section>
      <h2>{heading}</h2>
      {pages.map(({ heading: page, remark, changes }) => (
        <article key={page} className="change">
          <h3>{page}</h3>
          {remark === '' ? null : <p className="quiet">{remark}</p>}
          {changes.length === 0 ? null : (
            <Scroller className="scroll" label={`Words changed: ${page}`}>
              <table className="words-changed">
                <thead>
                  <tr>
                    <th scope="col">Before</th>
                    <th scope="col">After</th>
                  </tr>
                </thead>
                <tbody>
                  {changes.map(({ before, after }, at) => (
                    // biome-ignore lint/suspicious/noArrayIndexKey: the same words can change twice on a page.
                    <tr key={at}>
                      <td>{before === '' ? null : <del>{before}</del>}</td>
                      <td>{after === '' ? null : <ins>{after}</ins>}</td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </Scroller>
          )}
        </article>
      ))}
    </section>
  )
}
