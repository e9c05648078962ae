//! What is asked, and in what order: from the first screw to the proof, as a job goes.

use gapbook::book::{Board, is_on};
use gapbook::evidence::{Expected, Quantity};
use gapbook::heat::{self, Readings};
use gapbook::order::peeling;
use gapbook::record::schema::{Kind, Words as _, most, range};
use gapbook::record::{Fitted, InstrumentKind, Temperatures};
use toml::{Table, Value};

use super::Subject;
use super::answer::{Beside, Wanted, millimetres};

/// Questions that belong together: they have one heading, and are left out together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Group {
    /// Which board it is, and why it is opened.
    Board,
    /// What it is measured with.
    Instrument,
    /// Temperatures before.
    Before,
    /// The old pad of a zone, by position.
    Zone(usize),
    /// What was fitted.
    Fitted,
    /// Temperatures after.
    After,
    /// What else there is to say.
    Note,
}

/// One question.
#[derive(Clone, Debug)]
pub(super) struct Question {
    /// The key of the record that it fills, by which its answer is kept.
    pub(super) key: String,
    pub(super) prompt: String,
    pub(super) group: Group,
    pub(super) wanted: Wanted,
}

/// Returns every question, given the answers so far: some are asked only because of others.
pub(super) fn questions(subject: &Subject<'_>, answers: &Table) -> Vec<Question> {
    let plan = Plan {
        subject,
        answers,
        schema: Kind::Job.schema(),
    };
    let zones = plan.zones();
    let mut questions = plan.board();
    questions.extend(plan.instrument());
    questions.extend(plan.temperatures("before", Group::Before));
    questions.extend(zones.iter().flat_map(|&zone| plan.old_pad(zone)));
    questions.extend(zones.iter().flat_map(|&zone| plan.new_pad(zone)));
    questions.extend(plan.paste());
    questions.extend(plan.temperatures("after", Group::After));
    questions.push(ask(
        "note",
        "anything the next bench should know",
        Group::Note,
        Wanted::Text(plan.most(None, "note")),
    ));
    questions
}

/// Returns the zones that an answer about the revision leaves, in the order their pads come off.
pub(super) fn zones(board: &Board, revision: Option<&str>) -> Vec<usize> {
    let applies = |&zone: &usize| is_on(board.revisions_of_zone(zone), revision);
    peeling(board).into_iter().filter(applies).collect()
}

fn ask(
    key: impl Into<String>,
    prompt: impl Into<String>,
    group: Group,
    wanted: Wanted,
) -> Question {
    Question {
        key: key.into(),
        prompt: prompt.into(),
        group,
        wanted,
    }
}

/// Returns the pad that an answer says was fitted.
fn fitted(zone: &str, answer: &Value) -> Option<Fitted> {
    let pad = answer.get("pad").and_then(Value::as_str);
    Some(Fitted {
        zone: zone.to_owned(),
        pad_mm: answer.get("pad_mm")?.as_float()?,
        pad: pad.map(str::to_owned),
        why: None,
    })
}

/// What questions are made from.
struct Plan<'a> {
    subject: &'a Subject<'a>,
    answers: &'a Table,
    schema: serde_json::Value,
}

impl Plan<'_> {
    /// Returns an answer that says something.
    fn answer(&self, key: &str) -> Option<&str> {
        let answer = self.answers.get(key).and_then(Value::as_str)?;
        Some(answer).filter(|answer| !answer.is_empty())
    }

    fn range(&self, definition: &str, key: &str) -> [f64; 2] {
        range(&self.schema, definition, key).expect("invariant: a job's numbers have ranges")
    }

    fn most(&self, definition: Option<&str>, key: &str) -> usize {
        most(&self.schema, definition, key).expect("invariant: a job's texts and lists are bounded")
    }

    fn zones(&self) -> Vec<usize> {
        let board = self.subject.board;
        let revisions = &board.record.board.revisions;
        let wanted = Wanted::Word(revisions.clone());
        let revision = self.answer("revision").map(|typed| wanted.read(typed));
        let revision = revision.and_then(Result::ok);
        zones(board, revision.as_ref().and_then(Value::as_str))
    }

    fn board(&self) -> Vec<Question> {
        let revisions = self.subject.board.record.board.revisions.clone();
        let revision = (!revisions.is_empty()).then(|| {
            let prompt = format!("revision printed on it ({})", revisions.join(", "));
            ask("revision", prompt, Group::Board, Wanted::Word(revisions))
        });
        let reason = Wanted::Text(self.most(None, "reason"));
        let reason = ask("reason", "why it is opened", Group::Board, reason);
        revision.into_iter().chain([reason]).collect()
    }

    fn instrument(&self) -> Vec<Question> {
        let kinds: Vec<String> = InstrumentKind::ALL
            .iter()
            .map(ToString::to_string)
            .collect();
        let prompt = format!("measured with ({})", kinds.join(", "));
        let kind = ask(
            "instrument.kind",
            prompt,
            Group::Instrument,
            Wanted::Word(kinds),
        );
        let more = [
            ("resolution_mm", "smallest step it shows, mm"),
            ("max_error_mm", "its greatest error, ± mm"),
        ];
        let more = more.map(|(key, prompt)| {
            let wanted = Wanted::Number(self.range("Instrument", key));
            ask(
                format!("instrument.{key}"),
                prompt,
                Group::Instrument,
                wanted,
            )
        });
        // Nothing is known of an instrument that is not there.
        let is_known = self.answer(&kind.key).is_some();
        std::iter::once(kind)
            .chain(more.into_iter().filter(|_| is_known))
            .collect()
    }

    fn temperatures(&self, when: &str, group: Group) -> Vec<Question> {
        let board = self.subject.board;
        let (limits, normal) = (heat::board::limits(board), heat::board::normal(board, None));
        let readings = self.shown(when);
        let read = Temperatures::NUMBERS.map(|(key, prompt)| {
            let range = self.range("Temperatures", key);
            let beside = |read| {
                Box::new(Beside {
                    read,
                    readings: readings.clone(),
                    limits,
                    normal: normal.clone(),
                })
            };
            let wanted = match heat::board::read_at(key).map(beside) {
                Some(beside) => Wanted::Shown { range, beside },
                None => Wanted::Number(range),
            };
            ask(format!("{when}.{key}"), prompt, group, wanted)
        });
        let seen = Temperatures::QUESTIONS.map(|(key, question)| {
            let prompt = format!("{question} (y or n)");
            ask(format!("{when}.{key}"), prompt, group, Wanted::YesOrNo)
        });
        read.into_iter().chain(seen).collect()
    }

    /// Returns what was answered of a running board.
    fn shown(&self, when: &str) -> Readings {
        let mut readings = Readings::default();
        for (key, _) in Temperatures::NUMBERS {
            let Some(read) = heat::board::read_at(key) else {
                continue;
            };
            let wanted = Wanted::Number(self.range("Temperatures", key));
            let typed = self.answer(&format!("{when}.{key}"));
            let answer = typed.and_then(|typed| wanted.read(typed).ok());
            *readings.slot(read) = answer.as_ref().and_then(Value::as_float);
        }
        readings
    }

    fn expected(&self, zone: usize) -> Expected {
        Expected::of(self.subject.book, self.subject.board, zone)
    }

    fn old_pad(&self, zone: usize) -> [Question; 2] {
        let id = &self.subject.board.record.zone[zone].id;
        let question = |at: Quantity, prompt, edge_mm| {
            let wanted = Wanted::Readings {
                at,
                range: self.range("Reading", at.key()),
                most: self.most(Some("Reading"), at.key()),
                expected: self.expected(zone),
                edge_mm,
            };
            let key = format!("reading.{id}.{}", at.key());
            ask(key, prompt, Group::Zone(zone), wanted)
        };
        let prompt = "edge, mm: where nothing squeezed it";
        let edge = question(Quantity::Edge, prompt, Vec::new());
        let typed = self.answer(&edge.key);
        let read = typed.and_then(|typed| edge.wanted.read(typed).ok());
        let edge_mm = read.as_ref().map_or_else(Vec::new, millimetres);
        let prompt = "imprint, mm: where the part did";
        let imprint = question(Quantity::Imprint, prompt, edge_mm);
        [edge, imprint]
    }

    fn new_pad(&self, zone: usize) -> Vec<Question> {
        let written = &self.subject.board.record.zone[zone];
        let id = &written.id;
        let stock = &self.subject.book.stock;
        let recorded = written.pad_mm.map(|pad_mm| {
            let known = |pad: &&String| stock.pad(pad).is_some();
            (pad_mm, written.pad.as_ref().filter(known).cloned())
        });
        let shown = recorded.as_ref().map_or_else(String::new, |(pad_mm, pad)| {
            let pad = pad
                .as_deref()
                .map_or_else(String::new, |pad| format!(" {pad}"));
            format!(" (recorded: {pad_mm:?}{pad})")
        });
        let prompt = format!("{}{shown}", self.subject.board.zone_name(zone));
        let pad = Wanted::Pad {
            range: self.range("Fitted", "pad_mm"),
            materials: stock.pads.iter().map(|pad| pad.id.clone()).collect(),
            expected: self.expected(zone),
            recorded,
        };
        let typed = self.answer(&format!("fitted.{id}.pad"));
        let answer = typed.and_then(|typed| pad.read(typed).ok());
        let differs = answer
            .and_then(|answer| fitted(id, &answer))
            .is_some_and(|fitted| fitted.is_another_than(written));
        let why = differs.then(|| {
            let wanted = Wanted::Text(self.most(Some("Fitted"), "why"));
            let prompt = "why another than the record's";
            ask(format!("fitted.{id}.why"), prompt, Group::Fitted, wanted)
        });
        std::iter::once(ask(format!("fitted.{id}.pad"), prompt, Group::Fitted, pad))
            .chain(why)
            .collect()
    }

    fn paste(&self) -> Option<Question> {
        let pastes = self.subject.book.stock.pastes.iter();
        let ids: Vec<String> = pastes.map(|paste| paste.id.clone()).collect();
        (!ids.is_empty()).then(|| {
            let prompt = format!("paste ({})", ids.join(", "));
            ask("paste", prompt, Group::Fitted, Wanted::Word(ids))
        })
    }
}
