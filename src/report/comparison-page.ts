/** What changed between two submissions, as one HTML file that needs nothing else: no script, nothing from outside. */
import type { Comparison } from '../compare/comparison.ts'
import {
  type ComparisonView,
  type FactView,
  type FindingChangeView,
  type SideView,
  viewComparison,
} from './comparison-view.ts'
import { type Section, writeFields, writePage } from './html-page.ts'
import { type Content, html, type Markup } from './markup.ts'
import type { FieldView } from './view.ts'
import type { PageChangeView } from './word-changes-view.ts'

/**
 * The whole comparison. Whatever comes from the files is escaped, and controls and marks that reorder text are spelt out.
 * What was taken out and put in is told by words and marks, not by colour alone. Pure: the same comparison, the same text.
 */
export function renderComparisonPage(comparison: Comparison): string {
  const view = viewComparison(comparison)
  return writePage({
    title: `${view.before.word} → ${view.after.word}: ${view.title}`,
    head: writeHead(view),
    sections: listSections(view),
    footer: 'Written by witnessmark. A change is no accusation: a person decides, after looking at both places.',
  })
}

function writeHead({ title, summary, before, after }: ComparisonView): Markup {
  return html`<header class="${after.verdict}">
<div class="stamps"><p class="stamp ${before.verdict}"><span>before</span> ${before.word}</p>
<p class="stamp ${after.verdict}"><span>after</span> ${after.word}</p></div>
<h1>${title}</h1>
<p class="meaning">${summary}</p>
<div class="pair">${writeSide('Before', before)}${writeSide('After', after)}</div>
</header>`
}

const writeSide = (label: string, { packet, fields }: SideView): Markup =>
  html`<div>${writeFields([{ label, lines: [packet] }, ...fields])}</div>`

function listSections(view: ComparisonView): Section[] {
  const { usedFacts, findings, files, otherFacts, words, cautions } = view
  const sections: Section[] = []
  const add = (id: string, heading: string, content: Content) => sections.push({ id, heading, content })
  if (usedFacts.facts.length > 0) add('used-facts', usedFacts.heading, usedFacts.facts.map(writeFact))
  for (const [index, { heading, meaning, findings: found }] of findings.entries())
    add(`findings-${index + 1}`, heading, [html`<p class="quiet">${meaning}</p>`, found.map(writeFinding)])
  add('files', files.heading, [
    html`<ul class="list">${files.files.map(
      ({ word, name, remarks }) =>
        html`<li class="not-checked"><span class="tag">${word}</span><span>${name}${remarks.map((remark) => html`<br/><small>${remark}</small>`)}</span></li>`,
    )}</ul>`,
    html`<p class="quiet">${files.same}</p>`,
  ])
  if (otherFacts.facts.length > 0)
    add('facts', otherFacts.heading, [
      otherFacts.facts.map(writeFact),
      otherFacts.left === '' ? null : html`<p class="quiet">${otherFacts.left}</p>`,
    ])
  if (words.pages.length > 0) add('words', words.heading, words.pages.map(writeWords))
  add(
    'cautions',
    cautions.heading,
    html`<ul class="plain">${cautions.lines.map((line) => html`<li>${line}</li>`)}</ul>`,
  )
  return sections
}

function writeFact({ label, before, after, checks }: FactView): Markup {
  return html`<article class="change"><h3>${label}</h3>
<div class="pair">${writeFactSide(before)}${writeFactSide(after)}</div>${checks === '' ? null : html`<p class="quiet">Rests on it: ${checks}</p>`}</article>
`
}

function writeFactSide({ label, lines: [value = '', ...places] }: FieldView): Markup {
  return html`<div><small>${label}</small><p class="value">${value}</p>${places.map((place) => html`<p><small>${place}</small></p>`)}</div>`
}

function writeFinding({ verdict, word, was, check, sentences, fields }: FindingChangeView): Markup {
  return html`<article class="finding turned ${verdict}"><span class="tag">${word} <span class="number">${was}</span></span>
<div><h3>${check}</h3>${writeFields([...sentences, ...fields])}</div></article>
`
}

function writeWords({ heading, remark, changes }: PageChangeView): Markup {
  const rows = changes.map(
    ({ before, after }) =>
      html`<tr><td>${before === '' ? null : html`<del>${before}</del>`}</td><td>${after === '' ? null : html`<ins>${after}</ins>`}</td></tr>`,
  )
  return html`<article class="change"><h3>${heading}</h3>${remark === '' ? null : html`<p class="quiet">${remark}</p>`}${
    rows.length === 0
      ? null
      : html`<table class="words"><thead><tr><th scope="col">Before</th><th scope="col">After</th></tr></thead><tbody>${rows}</tbody></table>`
  }</article>
`
}
