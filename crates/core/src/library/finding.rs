//! Finding a material by the words that a person has in mind for it.

use super::LibraryError;
use super::materials::rows;
use crate::library::additions::Addition;
use crate::library::fats::Fat;
use crate::library::material::{MaterialId, Of};
use crate::library::scents::Scent;
use serde::Deserialize;
use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::Arc;
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// Something that is found by its names.
pub trait Findable {
    /// In which table its row would stand.
    const OF: Of;
    /// Its name in files.
    fn id(&self) -> &MaterialId;
    /// Its name on screen.
    fn name(&self) -> &str;
    /// Its name in ingredient lists.
    fn inci(&self) -> &str;
    /// Words that all of its kind are called by, in small letters.
    fn kind(&self) -> &'static str;
}

impl Findable for Fat {
    const OF: Of = Of::Fat;
    fn id(&self) -> &MaterialId {
        &self.id
    }
    fn name(&self) -> &str {
        &self.name
    }
    fn inci(&self) -> &str {
        &self.inci.fat
    }
    fn kind(&self) -> &'static str {
        ""
    }
}

impl Findable for Addition {
    const OF: Of = Of::Addition;
    fn id(&self) -> &MaterialId {
        &self.id
    }
    fn name(&self) -> &str {
        &self.name
    }
    fn inci(&self) -> &str {
        &self.inci
    }
    fn kind(&self) -> &'static str {
        self.kind.words()
    }
}

impl Findable for Scent {
    const OF: Of = Of::Scent;
    fn id(&self) -> &MaterialId {
        &self.id
    }
    fn name(&self) -> &str {
        &self.name
    }
    fn inci(&self) -> &str {
        &self.inci
    }
    fn kind(&self) -> &'static str {
        "essential oil"
    }
}

impl<T: Findable> Findable for Arc<T> {
    const OF: Of = T::OF;
    fn id(&self) -> &MaterialId {
        T::id(self)
    }
    fn name(&self) -> &str {
        T::name(self)
    }
    fn inci(&self) -> &str {
        T::inci(self)
    }
    fn kind(&self) -> &'static str {
        T::kind(self)
    }
}

/// What a text found, the likeliest first.
#[derive(Debug, Clone)]
pub struct Found<'a, T> {
    /// The materials.
    pub materials: Vec<&'a T>,
    /// Nothing is called so, and these are only called nearly so: to be offered, never to be taken for it.
    pub is_guess: bool,
}

impl<T> Found<'_, T> {
    /// What stands before a list of guesses, be it empty.
    pub const fn none_so(&self) -> &'static str {
        if self.materials.is_empty() { "Nothing is called so" } else { "Nothing is called so. Did you mean:" }
    }
}

/// By what words the materials of the library are found, and how common they are.
#[derive(Debug, Clone, Default)]
pub struct Names(HashMap<(Of, MaterialId), Known>);

#[derive(Debug, Clone)]
struct Known {
    rank: u8,
    /// [`folded`].
    synonyms: Vec<String>,
    /// As its table has it; one of the same id in a design may be called otherwise.
    of_table: Spelling,
}

/// What a material is called by its own record.
#[derive(Debug, Clone, Default)]
struct Spelling {
    name: String,
    inci: String,
    /// Its name and its id, [`folded`].
    called: [String; 2],
    /// Its name in ingredient lists, [`folded`].
    folded_inci: String,
}

impl Spelling {
    fn of(material: &impl Findable) -> Self {
        let (name, inci) = (material.name().to_owned(), material.inci().to_owned());
        Self { called: [folded(&name), folded(material.id().as_str())], folded_inci: folded(&inci), name, inci }
    }
}

/// How common an own material counts as, which has no row: as common as the common ones, since the maker has it.
const OWN_RANK: u8 = 20;
/// So many usual ones stand first where nothing is typed.
const USUAL: usize = 10;
/// So many guesses are offered at the most.
const MOST_GUESSES: usize = 5;
/// So many materials a message names at the most.
const MOST_NAMED: usize = 3;

/// The longest text that is looked for, bytes, and the longest word that may be misspelt, letters: no name is longer,
/// and the search stays quick whatever is pasted.
const MOST_BYTES: usize = 1000;
const MOST_LETTERS: usize = 40;

/// How well a name fits what was typed, the best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Exactness {
    /// It is what was typed, wherever its words are divided.
    Whole,
    /// Each word that was typed is one of its words.
    Words,
    /// Each begins one.
    Beginnings,
    /// The name of the ingredient list begins with it.
    Inci,
    /// Each stands in one somewhere.
    Middles,
}

/// `text` without case, accents, apostrophes and punctuation, with one space between words.
pub fn folded(text: &str) -> String {
    let is_apostrophe = |c: char| matches!(c, '\'' | '’' | '‘' | '\u{2bc}' | '`' | '´');
    // The accents go first: an accent that stands by itself would divide a word.
    let plain = text.chars().filter(|c| !is_apostrophe(*c)).nfkd().filter(|c| !is_combining_mark(*c));
    let spaced: String =
        plain.flat_map(char::to_lowercase).map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
    spaced.split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// The letters of a folded text, wherever its words are divided: “grape seed” is “grapeseed”.
fn letters(folded: &str) -> String {
    folded.replace(' ', "")
}

/// How well the `name` of one of `kind` fits `typed`; all of them folded.
fn exactness(typed: &str, name: &str, kind: &str) -> Option<Exactness> {
    if letters(typed) == letters(name) {
        return Some(Exactness::Whole);
    }
    let of_word = |typed: &str, word: &str| {
        if word == typed {
            Some(Exactness::Words)
        } else if word.starts_with(typed) {
            Some(Exactness::Beginnings)
        } else {
            word.contains(typed).then_some(Exactness::Middles)
        }
    };
    let best = |typed| {
        let of_kind = kind.split(' ').filter(|word| word.starts_with(typed)).map(|_| Exactness::Beginnings);
        name.split(' ').filter_map(|word| of_word(typed, word)).chain(of_kind).min()
    };
    typed.split(' ').try_fold(Exactness::Words, |worst, word| Some(worst.max(best(word)?)))
}

/// Which letters stand in `text`, each as one of 64 bits; several may share one.
fn letters_in(text: &str) -> u64 {
    text.chars().fold(0, |bits, c| bits | 1 << (u32::from(c) % u64::BITS))
}

/// In how many letters the `name` of one of `kind` differs from a misspelt `typed`, all of them folded; `None` if some
/// word is too far off.
fn misspelt(typed: &str, name: &str, kind: &str) -> Option<usize> {
    let of_word = |typed: &str, word: &str| {
        if word.contains(typed) {
            return Some(0);
        }
        let length = typed.chars().count();
        let allowed = match length {
            4..=6 => 1,
            7..=MOST_LETTERS => 2,
            _ => return None,
        };
        // A letter that the word has not at all differs wherever it stands: most words are told by that.
        if (letters_in(typed) & !letters_in(word)).count_ones() as usize > allowed {
            return None;
        }
        // What was typed may be a word that is not finished.
        let beginnings = (length.saturating_sub(1)..=length + 1).map(|n| word.chars().take(n).collect::<String>());
        let off = beginnings.map(|part| strsim::osa_distance(typed, &part)).chain([strsim::osa_distance(typed, word)]);
        off.min().filter(|off| *off <= allowed)
    };
    let words = || name.split(' ').chain(kind.split(' '));
    typed.split(' ').try_fold(0, |sum, typed| Some(sum + words().filter_map(|word| of_word(typed, word)).min()?))
}

impl Names {
    /// The materials `among` those given that `text` means, the likeliest first: the exact name or synonym, then whole
    /// words, beginnings and middles of words, each by how common the material is and how short its name. All words
    /// must stand in one name; words of the kind, as “milk” or “essential oil”, may be added. Without a text all of
    /// them, the usual ones first and the rest by the alphabet. Where nothing is called so, what is nearly called so.
    ///
    /// ```
    /// let library = barwright_core::Library::embedded()?;
    /// let found = library.names.find(library.fats(), "Karite");
    /// assert_eq!(found.materials[0].name, "Shea butter");
    /// let found = library.names.find(library.fats(), "babasu");
    /// assert!(found.is_guess && found.materials[0].name == "Babassu oil");
    /// # Ok::<(), barwright_core::library::LibraryError>(())
    /// ```
    pub fn find<'a, T: Findable>(&self, among: &'a [T], text: &str) -> Found<'a, T> {
        let typed = folded(text);
        if typed.is_empty() {
            return Found { materials: self.usual_first(among), is_guess: false };
        }
        if typed.len() > MOST_BYTES {
            return Found { materials: Vec::new(), is_guess: true };
        }
        let materials = self.ranked(among, |material| {
            let kind = material.kind();
            let (spelling, synonyms) = self.spelling(material);
            let called = spelling.called.iter().chain(synonyms);
            let by_name = called.filter_map(|name| exactness(&typed, name, kind)).min();
            let by_inci = spelling.folded_inci.starts_with(&typed).then_some(Exactness::Inci);
            by_name.into_iter().chain(by_inci).min()
        });
        if !materials.is_empty() {
            return Found { materials, is_guess: false };
        }
        let mut materials = self.ranked(among, |material| {
            let kind = material.kind();
            let (spelling, synonyms) = self.spelling(material);
            spelling.called.iter().chain(synonyms).filter_map(|name| misspelt(&typed, name, kind)).min()
        });
        materials.truncate(MOST_GUESSES);
        Found { materials, is_guess: true }
    }

    /// "; did you mean a, b or c?" with the ids of those among the given that `text` may have meant; empty if nothing
    /// comes near it.
    pub fn did_you_mean<T: Findable>(&self, among: &[T], text: &str) -> String {
        let ids = if folded(text).is_empty() { Vec::new() } else { self.find(among, text).materials };
        let ids: Vec<&str> = ids.iter().take(MOST_NAMED).map(|m| m.id().as_str()).collect();
        match ids.split_last() {
            None => String::new(),
            Some((only, [])) => format!("; did you mean {only}?"),
            Some((last, others)) => format!("; did you mean {} or {last}?", others.join(", ")),
        }
    }

    /// Those that `fit`, by how well they do, then by how common and how short.
    fn ranked<'a, T: Findable, F: Ord>(&self, among: &'a [T], fit: impl Fn(&T) -> Option<F>) -> Vec<&'a T> {
        let key = |m: &'a T| {
            let [name, _] = &self.spelling(m).0.called;
            Some(((fit(m)?, self.rank(m), m.name().chars().count(), name.clone()), m))
        };
        let mut fitting: Vec<_> = among.iter().filter_map(key).collect();
        fitting.sort_by(|(a, _), (b, _)| a.cmp(b));
        fitting.into_iter().map(|(_, material)| material).collect()
    }

    fn usual_first<'a, T: Findable>(&self, among: &'a [T]) -> Vec<&'a T> {
        let mut all = self.ranked(among, |_| Some(()));
        let rest = all.split_off(USUAL.min(all.len()));
        let mut rest: Vec<_> = rest.into_iter().map(|m| (folded(m.name()), m)).collect();
        rest.sort_by(|(a, _), (b, _)| a.cmp(b));
        all.extend(rest.into_iter().map(|(_, m)| m));
        all
    }

    fn known<T: Findable>(&self, material: &T) -> Option<&Known> {
        self.0.get(&(T::OF, material.id().clone()))
    }

    fn rank<T: Findable>(&self, material: &T) -> u8 {
        self.known(material).map_or(OWN_RANK, |known| known.rank)
    }

    /// What it is called by its own record, and its synonyms, [`folded`].
    fn spelling<T: Findable>(&self, material: &T) -> (Cow<'_, Spelling>, &[String]) {
        let known = self.known(material);
        let of_table = known.map(|known| &known.of_table);
        let of_table = of_table.filter(|said| said.name == material.name() && said.inci == material.inci());
        let spelling = of_table.map_or_else(|| Cow::Owned(Spelling::of(material)), Cow::Borrowed);
        (spelling, known.map_or(&[], |known| &known.synonyms))
    }
}

#[derive(Deserialize)]
struct Row {
    of: Of,
    material: MaterialId,
    rank: u8,
    names: String,
}

fn wrong(id: &MaterialId, what: impl Into<String>) -> LibraryError {
    LibraryError::Material { table: "names.csv", id: id.to_string(), what: what.into() }
}

impl Names {
    /// Reads `names.csv`: a row for each of the materials, and no synonym that two of a kind are called by.
    pub(super) fn parse(
        text: &str,
        fats: &[Arc<Fat>],
        additions: &[Arc<Addition>],
        scents: &[Arc<Scent>],
    ) -> Result<Self, LibraryError> {
        let mut all = Self::default();
        for Row { of, material, rank, names } in rows("names.csv", text)? {
            let synonyms: Vec<String> = names.split(';').map(folded).collect();
            if synonyms.iter().any(String::is_empty) {
                return Err(wrong(&material, "has an empty name"));
            }
            let of_table = match of {
                Of::Fat => fats.iter().find(|m| m.id == material).map(Spelling::of),
                Of::Addition => additions.iter().find(|m| m.id == material).map(Spelling::of),
                Of::Scent => scents.iter().find(|m| m.id == material).map(Spelling::of),
            };
            let of_table = of_table.ok_or_else(|| wrong(&material, "is no material of the tables"))?;
            if all.0.insert((of, material.clone()), Known { rank, synonyms, of_table }).is_some() {
                return Err(wrong(&material, "stands twice"));
            }
        }
        all.check(fats)?;
        all.check(additions)?;
        all.check(scents)?;
        Ok(all)
    }

    fn check<T: Findable>(&self, materials: &[T]) -> Result<(), LibraryError> {
        let mut taken: HashMap<String, &MaterialId> = HashMap::new();
        for material in materials {
            let id = material.id();
            if self.known(material).is_none() {
                return Err(wrong(id, "is a material without a row here"));
            }
            let (spelling, synonyms) = self.spelling(material);
            for name in spelling.called.iter().chain(synonyms) {
                match taken.insert(letters(name), id) {
                    Some(other) if other != id => return Err(wrong(id, format!("“{name}” is {other} too"))),
                    _ => {}
                }
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests;
