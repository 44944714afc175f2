/** The report on a packet as one HTML file that needs nothing else: no script, and nothing is loaded from outside. */
import type { Pictures } from '../findings/pictures.ts'
import type { Report } from '../findings/report.ts'
import { writeFigures } from './html-figures.ts'
import { type Section, writeFields, writePage } from './html-page.ts'
import { writeHours, writeTimeline } from './html-timeline.ts'
import { type Content, html, type Markup } from './markup.ts'
import { describeLeft } from './picture-words.ts'
import {
  type ActionView,
  type ContrastView,
  type FileView,
  type FindingsView,
  type FindingView,
  type ListView,
  type ReportView,
  viewReport,
} from './view.ts'

/**
 * The whole report. `pictures`: of the pages that findings rest on, as `drawEvidence` gives them; without them the report
 * has none. Pure: the same report and pictures give the same text.
 *
 * Whatever comes from the packet's files is escaped, and controls and marks that reorder text are spelt out. WCAG 2.2 AA
 * is the aim: structure by headings and landmarks, no colour as the only sign, contrast in light and dark.
 */
export function renderHtml(report: Report, { pictures }: { pictures?: Pictures } = {}): string {
  const view = viewReport(report, { showWorking: true })
  const sections = listSections(view, pictures ?? null)
  return writePage({
    title: `${view.word}: ${view.title}`,
    head: writeHead(view),
    sections,
    footer:
      'Written by witnessmark. A finding is no accusation: a person decides, by the vehicle maker’s service information.',
  })
}

function writeHead({ verdict, word, title, meaning, counts, head }: ReportView): Markup {
  return html`<header class="${verdict}">
<p class="stamp ${verdict}">${word}</p>
<h1>${title}</h1>
<p class="meaning">${meaning}</p>
<div><dl class="facts">
<dt>Vehicle</dt><dd>${head.vehicle}</dd>
<dt>Files</dt><dd>${head.files}</dd>
<dt>Reviewed</dt><dd>${head.reviewed}</dd>
</dl>
<ul class="counts" aria-label="Findings">${counts.map(
    (one) => html`<li class="${one.verdict}"><span class="tag">${one.number} ${one.label}</span></li>`,
  )}</ul></div>
</header>`
}

/** In the order of the page; those without content are left out. */
function listSections(view: ReportView, pictures: Pictures | null): Section[] {
  const { actions, findings, exposure, summaries, problems, timeline, codes, files, rulebook, cautions } = view
  const sections: Section[] = []
  const add = (id: string, heading: string, content: Content) => sections.push({ id, heading, content })
  if (actions.length > 0) {
    const lists = actions.map(({ heading, items }) => html`<div><h3>${heading}</h3>${writeActions(items)}</div>`)
    add('settle', 'What would settle it', html`<div class="pair">${lists}</div>`)
  }
  for (const [index, one] of findings.entries()) add(`findings-${index + 1}`, one.heading, writeFindings(one, pictures))
  if (pictures !== null && pictures.left > 0)
    sections.at(-1)!.content = [sections.at(-1)!.content, html`<p class="quiet">${describeLeft(pictures.left)}</p>`]
  if (exposure !== null) {
    const parties = exposure.parties.map(
      ({ party, counts, to }) =>
        html`<div><h3>${party} <small>${counts}</small></h3><ul class="list">${to.map(
          ({ verdict, word, what, checks }) =>
            html`<li class="${verdict}"><span class="tag">${word}</span><span>${what} <small>${checks}</small></span></li>`,
        )}</ul></div>`,
    )
    add('exposure', exposure.heading, html`<div class="pair">${parties}</div>`)
  }
  if (timeline !== null)
    add('events', timeline.heading, [
      html`<p class="quiet">${timeline.note} ${writeHours}</p>`,
      writeTimeline(timeline),
    ])
  if (codes !== null) add('codes', codes.heading, writeCodes(codes))
  for (const [index, list] of summaries.entries()) add(`summary-${index + 1}`, list.heading, writeList(list, 'columns'))
  if (problems !== null) add('problems', problems.heading, writeList(problems))
  add('files', files.heading, writeFiles(files.files, view.head.digest))
  add('rulebook', rulebook.heading, writeFields(rulebook.fields))
  add('cautions', cautions.heading, writeList(cautions))
  return sections
}

function writeActions(items: readonly ActionView[]): Markup {
  return html`<ul class="list">${items.map(
    ({ verdict, word, what, from, settles }) =>
      html`<li class="${verdict}"><span class="tag">${word}</span><span>${what}<br/><small>${from === '' ? '' : `${from}; `}settles ${settles}</small></span></li>`,
  )}</ul>`
}

function writeFindings({ groups }: FindingsView, pictures: Pictures | null): Content {
  return groups.map(({ question, findings }) => [
    html`<h3>${question}</h3>`,
    findings.map((finding) => writeFinding(finding, pictures)),
  ])
}

function writeFinding(finding: FindingView, pictures: Pictures | null): Markup {
  const { number, verdict, word, reason, fields, contrasts } = finding
  return html`<article class="finding ${verdict}" id="finding-${number}" aria-labelledby="finding-${number}-h">
<span class="tag">${word} <span class="number">no. ${number}</span></span>
<div><h4 id="finding-${number}-h">${reason}</h4>${contrasts.length === 0 ? null : writeContrasts(contrasts)}${writeFields(fields)}${pictures === null ? null : writeFigures(finding, pictures)}</div>
</article>
`
}

/** Both readings beside each other, a row each. */
function writeContrasts(contrasts: readonly ContrastView[]): Markup {
  const rows = contrasts.map(
    ({ what, sides }) =>
      html`<div class="beside" role="group" aria-label="${what}"><p class="quiet">${what}</p>${sides.map(
        ({ label, text }) => html`<p><span class="quiet">${label}</span><br/>${text}</p>`,
      )}</div>`,
  )
  return html`<div class="contrasts">${rows}</div>`
}

function writeList({ lines }: ListView, look = ''): Markup {
  return html`<ul class="plain ${look}">${lines.map((line) => html`<li>${line}</li>`)}</ul>`
}

function writeCodes({ rows, none }: NonNullable<ReportView['codes']>): Markup {
  if (rows.length === 0) return html`<p>${none}</p>`
  const head = ['Code', 'Module', 'Before', 'After'].map((name) => html`<th scope="col">${name}</th>`)
  const body = rows.map(
    ({ code, module, before, after, text }) =>
      html`<tr><th scope="row">${code}${text === '' ? null : html`<br/><small>${text}</small>`}</th><td>${module}</td><td>${before}</td><td>${after}</td></tr>`,
  )
  return html`<table><thead><tr>${head}</tr></thead><tbody>${body}</tbody></table>`
}

function writeFiles(files: readonly FileView[], digest: string): Content {
  const rows = files.map(
    ({ file, kind, size, sha256, problems }) =>
      html`<tr><th scope="row">${file}</th><td>${kind}<br/><small>${size}</small>${problems.map(
        (problem) => html`<br/><strong>Problem:</strong> ${problem}`,
      )}</td><td><code>${sha256 === '' ? 'not read' : sha256}</code></td></tr>`,
  )
  return [
    html`<p>Digest of the packet, over all files: <code>${digest}</code></p>`,
    html`<table><thead><tr><th scope="col">File</th><th scope="col">What it is</th><th scope="col">SHA-256</th></tr></thead><tbody>${rows}</tbody></table>`,
  ]
}
