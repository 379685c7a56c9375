//! Texts and lists that are refused where they stand if they are longer than any person's: what is drawn or searched
//! with each frame must not grow with what a file holds.

use crate::design::words::{plain, plain_line};
use crate::library::fats::Inci;
use crate::library::scents::Cas;
use serde::de::{Deserializer, Error, SeqAccess, Visitor};
use serde::{Deserialize, de};
use std::fmt;
use std::marker::PhantomData;

/// The most letters of a name; lists have room for far fewer.
pub(super) const NAME: usize = 1000;
/// The most letters of a source or of advice.
pub(super) const WORDS: usize = 4000;
/// The most letters of notes.
pub(super) const NOTES: usize = 100_000;
/// The most letters of a key: an acid, a price's material, a currency, a day.
pub(super) const KEY: usize = 100;
/// The most items of a list whose parts are no records: acids, constituents, allergens, prices.
pub(super) const ITEMS: usize = 1000;

fn checked<E: Error>(text: String, most: usize) -> Result<String, E> {
    let letters = text.chars().count();
    if letters > most {
        return Err(E::custom(format!("the text has {letters} letters, and at most {most} are read here: shorten it")));
    }
    Ok(text)
}

/// `text` as a part of a line.
fn inert(text: String) -> String {
    if is_plain(&text) && !text.contains('\n') { text } else { plain_line(&text) }
}

/// Whether `text` has letters alone, as nearly every one: nothing of it is copied then.
fn is_plain(text: &str) -> bool {
    text.bytes().all(|b| b.is_ascii_graphic() || b == b' ' || b == b'\n')
}

/// A text of at most `MOST` letters in one line, whatever signs that steer or turn a text the file has in it: a forged
/// name must not look like a line of the program's own anywhere.
pub(super) fn line<'de, const MOST: usize, D: Deserializer<'de>>(from: D) -> Result<String, D::Error> {
    checked(String::deserialize(from)?, MOST).map(inert)
}

/// Such a text, or none.
pub(super) fn some_line<'de, const MOST: usize, D: Deserializer<'de>>(from: D) -> Result<Option<String>, D::Error> {
    Option::<String>::deserialize(from)?.map(|text| checked(text, MOST).map(inert)).transpose()
}

/// A text of at most `MOST` letters in lines of its own.
pub(super) fn text<'de, const MOST: usize, D: Deserializer<'de>>(from: D) -> Result<String, D::Error> {
    checked(String::deserialize(from)?, MOST).map(|text| if is_plain(&text) { text } else { plain(&text) })
}

/// The names of a fat for ingredient lists.
pub(super) fn inci<'de, D: Deserializer<'de>>(from: D) -> Result<Inci, D::Error> {
    let Inci { fat, fat_status, sodium_soap, potassium_soap, soap_status } = Inci::deserialize(from)?;
    Ok(Inci {
        fat: checked(fat, NAME).map(inert)?,
        fat_status: checked(fat_status, WORDS).map(inert)?,
        sodium_soap: checked(sodium_soap, NAME).map(inert)?,
        potassium_soap: checked(potassium_soap, NAME).map(inert)?,
        soap_status: checked(soap_status, WORDS).map(inert)?,
    })
}

/// CAS numbers.
pub(super) fn cas<'de, D: Deserializer<'de>>(from: D) -> Result<Cas, D::Error> {
    Cas::new(&line::<WORDS, D>(from)?).map_err(D::Error::custom)
}

/// A list of at most `MOST` items; what is behind them is not even read.
pub(super) fn list<'de, const MOST: usize, T: Deserialize<'de>, D: Deserializer<'de>>(
    from: D,
) -> Result<Vec<T>, D::Error> {
    struct Items<T>(usize, PhantomData<T>);

    impl<'de, T: Deserialize<'de>> Visitor<'de> for Items<T> {
        type Value = Vec<T>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("a list")
        }

        fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Vec<T>, A::Error> {
            let mut list = Vec::new();
            while let Some(item) = items.next_element()? {
                if list.len() == self.0 {
                    return Err(de::Error::custom(format!("the list has more than {} items", self.0)));
                }
                list.push(item);
            }
            Ok(list)
        }
    }

    from.deserialize_seq(Items(MOST, PhantomData))
}
