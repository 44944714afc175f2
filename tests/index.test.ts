/** What other programs may import. A name that goes, or a new one, is a decision: change the list with it. */
import { expect, test } from 'vitest'
import * as face from '../src/index.ts'
import * as machine from '../src/io/index.ts'

test('the public face is this', () => {
  expect(Object.keys(face).sort()).toEqual([
    'DeclarationError',
    'IntakeError',
    'VocabularyError',
    'checkPacket',
    'checks',
    'compileVocabulary',
    'defaultPictureLimits',
    'describeRule',
    'draftDeclaration',
    'drawEvidence',
    'explainCheck',
    'findNearestName',
    'formatFaults',
    'formatJson',
    'groups',
    'judge',
    'makePlan',
    'neutralise',
    'parseRulebook',
    'parseVocabularyPage',
    'readDocument',
    'readJob',
    'readPacket',
    'renderCsv',
    'renderDocumentText',
    'renderExplanation',
    'renderHtml',
    'renderPacketFile',
    'renderPdf',
    'renderPlan',
    'renderPlanMarkdown',
    'renderPlanPage',
    'renderRule',
    'renderRuleMarkdown',
    'renderRules',
    'renderRulesMarkdown',
    'renderText',
  ])
})

test('and this is what it offers of the machine', () => {
  expect(Object.keys(machine).sort()).toEqual([
    'defaultReadingLimits',
    'desks',
    'fileSystem',
    'readReportFonts',
    'readShippedRulebook',
    'readShippedVocabulary',
    'startDrawing',
    'startReading',
    'today',
    'writeAtomically',
  ])
})
