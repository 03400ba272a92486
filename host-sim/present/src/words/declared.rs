//! What people declared, and what the job demands of them, in words and as JSON.
//!
//! What it does not do: judge. What was declared is told as declared.

use super::{DeedPhrase as P, JobPhrase, Speech};
use holdoff_core::fixing::{
    CleaningDone, CleaningKind, CleaningStep, Declaration, Declared, Demands, Fact, Needs, SeatingFacts, Status,
};
use holdoff_core::log::PersonNumber;
use holdoff_core::quantity::Span;
use holdoff_files::deeds::Fixing;
use holdoff_files::hands::Hands;
use serde_json::{Value, json};

impl Speech {
    /// A step of a cleaning with its count.
    pub fn cleaning_step(&self, kind: CleaningKind, count: u8) -> String {
        let phrase = match kind {
            CleaningKind::Blow => JobPhrase::Blow,
            CleaningKind::Brush => JobPhrase::Brush,
            CleaningKind::Rinse => JobPhrase::Rinse,
            CleaningKind::ExtractingBit => return self.say(P::ExtractingBit).to_owned(),
        };
        self.fill(phrase, &[("number", &count.to_string())])
    }

    /// A fact.
    pub fn fact(&self, fact: Fact) -> &'static str {
        self.say(match fact {
            Fact::Yes => P::Yes,
            Fact::No => P::No,
            Fact::NotDeclared => P::NotDeclared,
        })
    }

    /// The facts of a seating.
    pub fn seating_facts(&self, facts: SeatingFacts) -> String {
        self.fill(P::Seating, &[("excess", self.fact(facts.excess)), ("depth", self.fact(facts.depth))])
    }

    /// What somebody declared.
    pub fn declaration(&self, declaration: Declaration) -> String {
        match declaration {
            Declaration::Cleaned(CleaningDone { kind, count, took }) => {
                let step = self.cleaning_step(kind, count);
                if took == Span::ZERO {
                    return self.fill(P::Cleaned, &[("step", &step)]);
                }
                self.fill(P::CleanedIn, &[("step", &step), ("length", &self.length(u64::from(took.seconds())))])
            }
            Declaration::NewNozzle => self.say(P::NewNozzle).to_owned(),
            Declaration::Discarded => self.say(P::Discarded).to_owned(),
            Declaration::Seating(facts) => self.seating_facts(facts),
        }
    }

    /// What a job demands of hands.
    pub fn demands(&self, demands: &Demands) -> String {
        let record = |needs| {
            self.say(match needs {
                Needs::Required => P::Required,
                Needs::Noted => P::Noted,
            })
        };
        let steps: Vec<String> =
            demands.steps().iter().map(|CleaningStep { kind, count }| self.cleaning_step(*kind, *count)).collect();
        let cleaning = if steps.is_empty() {
            self.say(P::NoCleaning).to_owned()
        } else {
            let within = self.length(u64::from(demands.clean_within().seconds()));
            let gaps = [("steps", &*steps.join(", ")), ("record", record(demands.cleaning())), ("within", &*within)];
            self.fill(P::Cleaning, &gaps)
        };
        format!("{cleaning}; {}", self.fill(P::Nozzle, &[("record", record(demands.nozzle()))]))
    }

    /// The prescribed cleaning, and how old it may be.
    pub fn prescribed(&self, demands: &Demands) -> String {
        let steps: Vec<String> = demands.steps().iter().map(|step| self.cleaning_step(step.kind, step.count)).collect();
        let within = self.length(u64::from(demands.clean_within().seconds()));
        self.fill(P::StepsWithin, &[("steps", &steps.join(", ")), ("within", &within)])
    }

    /// What was declared of a fixing that was injected.
    pub fn declared(&self, declared: &Declared) -> String {
        let hole = if declared.cleaned { P::HoleClean } else { P::HoleNotDeclared };
        let nozzle = if declared.even { P::Even } else { P::EvenNotDeclared };
        let seating = self.seating_facts(declared.facts);
        self.fill(P::Hands, &[("hole", self.say(hole)), ("nozzle", self.say(nozzle)), ("seating", &seating)])
    }

    /// What was declared of a fixing of a replay, and whose hands it was.
    pub fn hands_of(&self, status: &Status, fixing: &Fixing, hands: &Hands) -> String {
        let mut all = Vec::new();
        if status.injected_at.is_some() {
            all.push(self.declared(&status.declared));
        }
        for (phrase, by) in [(P::SetBy, fixing.set_by()), (P::TorquedBy, fixing.torqued_by())] {
            if let Some(name) = by.and_then(|by| hands.name(by)) {
                all.push(self.fill(phrase, &[("name", &holdoff_files::problem::visible(name))]));
            }
        }
        if all.is_empty() { self.say(P::NothingDeclared).to_owned() } else { all.join("; ") }
    }

    /// A person's number in the job's list, from 1.
    pub fn person_number(&self, person: PersonNumber) -> String {
        person.place().saturating_add(1).to_string()
    }
}

/// The fixed word of a step's kind.
pub const fn cleaning_word(kind: CleaningKind) -> &'static str {
    match kind {
        CleaningKind::Blow => "blow",
        CleaningKind::Brush => "brush",
        CleaningKind::Rinse => "rinse",
        CleaningKind::ExtractingBit => "dust-extracting-bit",
    }
}

/// The fixed word of a fact; `None` where it was not declared.
pub const fn fact_word(fact: Fact) -> Option<&'static str> {
    match fact {
        Fact::Yes => Some("yes"),
        Fact::No => Some("no"),
        Fact::NotDeclared => None,
    }
}

/// A declaration by the fixed word of its action, and its particulars.
pub fn declaration_words(declaration: Declaration) -> (&'static str, String) {
    match declaration {
        Declaration::Cleaned(done) => {
            ("clean", format!("{} {}, {} s", cleaning_word(done.kind), done.count, done.took.seconds()))
        }
        Declaration::NewNozzle => ("nozzle", String::new()),
        Declaration::Discarded => ("discard", String::new()),
        Declaration::Seating(facts) => {
            let word = |fact| fact_word(fact).unwrap_or("not declared");
            ("seating", format!("excess {}, depth {}", word(facts.excess), word(facts.depth)))
        }
    }
}

/// Demands as JSON.
pub fn demands_json(demands: &Demands) -> Value {
    let word = |needs| match needs {
        Needs::Required => "required",
        Needs::Noted => "noted",
    };
    let steps: Vec<Value> =
        demands.steps().iter().map(|step| json!({"kind": cleaning_word(step.kind), "count": step.count})).collect();
    json!({
        "cleaning": steps,
        "cleaning_record": word(demands.cleaning()),
        "clean_within_s": demands.clean_within().seconds(),
        "nozzle_record": word(demands.nozzle()),
    })
}
