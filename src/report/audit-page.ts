/** The figures of an audit as a page: a funnel, drives, and a table. One file, no scripts. */

import type { Audit, GroupFigures } from '../archive/index.ts'
import { auditNotes, describeDrives, groupWords, minutes, nameStanding, percent } from './audit-text.ts'
import { style } from './html-style.ts'
import { html, type Markup, raw, writeMarkup } from './markup.ts'
import { count } from './words.ts'

const ownStyle = `
figure { margin: 0 0 1.5rem; } figcaption { color: var(--quiet); font-size: .87rem; max-width: 46rem; }
svg { width: 100%; max-width: 46rem; height: auto; background: var(--sheet); border: 1px solid var(--line); }
svg text { fill: var(--quiet); font: 11px system-ui, "DejaVu Sans", sans-serif; } svg .name { fill: var(--ink); }
.axis { stroke: var(--line); } .limit { fill: none; stroke: var(--quiet); } .outer { stroke-dasharray: 5 4; }
.mean { stroke: var(--quiet); } .dot { fill: var(--sheet); stroke: var(--ink); stroke-width: 1.5; }
.more-than-expected { fill: var(--warn); stroke: var(--warn); } .fewer-than-expected { fill: var(--pass); stroke: var(--pass); }
.bar { fill: var(--line); stroke: var(--quiet); } table { border-collapse: collapse; width: 100%; font-size: .92rem; }
th, td { text-align: left; vertical-align: top; padding: .3rem .6rem .3rem 0; border-top: 1px solid var(--line); }
th, td { overflow-wrap: normal; } td.number, th.number { text-align: right; white-space: nowrap; } .scroll { overflow-x: auto; }`

/** A whole page (HTML Living Standard), readable on paper and by a screen reader: the table says all that the charts show. */
export function renderAuditPage(audit: Audit): string {
  const { group, jobs, fails, rate, groups, unnamed } = audit
  const title = `Audit by ${groupWords[group]}`
  const drives = groups.filter((one) => one.drives !== null)
  const page = html`<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${title}</title><style>${raw(style + ownStyle)}</style></head><body><main class="page">
<h1>${title}</h1>
<p>${count(jobs, 'job')}, ${fails} fail (${percent(rate)}).${unnamed > 0 ? ` In ${unnamed} of them no ${groupWords[group]} was read.` : null}</p>
${jobs === 0 ? html`<p>No job has a report.</p>` : html`<section><h2>Jobs that fail</h2>${drawFunnel(audit)}</section>`}
${drives.length === 0 ? null : html`<section><h2>Drives</h2>${drawDrives(drives)}</section>`}
<section><h2>Figures</h2>${writeTable(audit)}</section>
<section><h2>How to read it</h2>${auditNotes.map((note) => html`<p>${note}</p>`)}</section>
</main></body></html>
`
  return writeMarkup(page)
}

const [width, height, left, right, top, bottom] = [640, 360, 52, 16, 16, 40]

/** Rate against number of jobs, with the limits within which chance alone keeps a rate. */
function drawFunnel({ rate, groups, funnel }: Audit): Markup {
  const most = funnel.at(-1)?.jobs ?? 1
  const rates = marksTo(Math.min(1, Math.max(0.1, rate * 2, ...groups.map((one) => one.rate * 1.1))))
  const highest = rates.at(-1) ?? 1
  const x = (jobs: number) => left + ((width - left - right) * jobs) / most
  const y = (part: number) => height - bottom - ((height - top - bottom) * Math.min(part, highest)) / highest
  const curve = (limits: 'limits95' | 'limits998', side: 'least' | 'most', name: string) => {
    const points = funnel.map((point) => `${x(point.jobs).toFixed(1)},${y(point[limits][side]).toFixed(1)}`)
    return html`<polyline class="${name}" points="${points.join(' ')}"/>`
  }
  return html`<figure><svg viewBox="0 0 ${width} ${height}" role="img" aria-label="Rate of jobs that fail against number of jobs; the table below has every figure.">
${rates.map((part) => html`<line class="axis" x1="${left}" x2="${width - right}" y1="${y(part)}" y2="${y(part)}"/><text x="${left - 6}" y="${y(part) + 4}" text-anchor="end">${Math.round(part * 1000) / 10} %</text>`)}
<line class="mean" x1="${left}" x2="${width - right}" y1="${y(rate)}" y2="${y(rate)}"/>
${(['least', 'most'] as const).map((side) => [curve('limits95', side, 'limit'), curve('limits998', side, 'limit outer')])}
${marksTo(most)
  .slice(0, -1)
  .map((jobs) => html`<text x="${x(jobs)}" y="${height - bottom + 16}" text-anchor="middle">${jobs}</text>`)}
<text x="${(left + width - right) / 2}" y="${height - 6}" text-anchor="middle">jobs</text>
${groups.map(({ name, jobs, rate: own, standing }) => html`<circle class="dot ${standing}" cx="${x(jobs)}" cy="${y(own)}" r="4.5"><title>${name}: ${percent(own)} of ${jobs}</title></circle>${standing === 'more-than-expected' || standing === 'fewer-than-expected' ? html`<text class="name" x="${x(jobs) + 8}" y="${y(own) - 7}">${name}</text>` : null}`)}
</svg><figcaption>A circle is one of the groups; filled where its rate is not what its work lets expect. Between the lines, chance alone
keeps 95 % of rates, and between the dashed ones 99.8 %, where all did the same work.</figcaption></figure>`
}

/** Four or so round numbers, from nothing to the first that is at least `most`. */
function marksTo(most: number): number[] {
  const power = 10 ** Math.floor(Math.log10(most / 4))
  const step = power * ([1, 2, 2.5, 5].find((one) => most <= 5 * one * power) ?? 10)
  return Array.from({ length: Math.ceil(most / step) + 1 }, (_, at) => Number((at * step).toPrecision(6)))
}

const [rowHeight, nameWidth] = [26, 190]

/** Lower quartile to upper quartile of each group's drives, with the middle one. */
function drawDrives(groups: readonly GroupFigures[]): Markup {
  const longest = Math.max(60, ...groups.map(({ drives }) => drives?.quartiles[2] ?? 0)) * 1.1
  const x = (seconds: number) => nameWidth + ((width - nameWidth - right) * seconds) / longest
  const tall = groups.length * rowHeight + 30
  const rows = groups.map(({ name, drives }, at) => {
    const [low, middle, high] = drives?.quartiles ?? [0, 0, 0]
    const y = at * rowHeight + 8
    return html`<text class="name" x="8" y="${y + 13}">${name.slice(0, 28)}</text><rect class="bar" x="${x(low)}" y="${y}" width="${Math.max(2, x(high) - x(low))}" height="${rowHeight - 10}"><title>${name}: ${minutes(low)} to ${minutes(high)}</title></rect><line class="mean" x1="${x(middle)}" x2="${x(middle)}" y1="${y - 2}" y2="${y + rowHeight - 8}" stroke-width="2"/>`
  })
  const marks = marksTo(longest / 60).slice(0, -1)
  return html`<figure><svg viewBox="0 0 ${width} ${tall}" role="img" aria-label="How long drives last; the table below has every figure.">${rows}
${marks.map((own) => html`<text x="${x(own * 60)}" y="${tall - 8}" text-anchor="middle">${own} min</text>`)}
</svg><figcaption>Half of a group's drives last as long as its bar says; the stroke is the middle one.</figcaption></figure>`
}

function writeTable(audit: Audit): Markup {
  const rows = audit.groups.map((figures) => {
    const { name, jobs, fails, warns, rate, interval, expected, probability, findings, drives } = figures
    return html`<tr><th scope="row">${name}</th><td class="number">${jobs}</td><td class="number">${fails}</td><td class="number">${warns}</td>
<td>${percent(rate)}, ${percent(interval.least)} to ${percent(interval.most)}</td><td class="number">${percent(expected)}</td>
<td>${nameStanding(figures, audit)}${probability === null ? null : ` (p ${probability.toPrecision(2)})`}</td>
<td>${findings.map(({ check, jobs: own }) => `${check} (${own})`).join(', ')}</td><td>${drives === null ? null : describeDrives(drives)}</td></tr>`
  })
  return html`<div class="scroll" tabindex="0"><table><thead><tr><th scope="col">Name</th><th scope="col" class="number">Jobs</th><th scope="col" class="number">Fail</th><th scope="col" class="number">Warn</th>
<th scope="col">Rate, 95 % interval</th><th scope="col" class="number">Expected</th><th scope="col">Standing</th><th scope="col">Fails most often by</th><th scope="col">Drives</th></tr></thead>
<tbody>${rows}</tbody></table></div>`
}
