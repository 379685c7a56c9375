//! Paths in files of the program’s own: as text, and as the address of the file where its name is no text.
//!
//! A file name is a row of bytes that is only mostly text. What is neither is left out.

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::path::{Path, PathBuf};
use url::Url;

fn written(path: &Path) -> Option<String> {
    path.to_str().map(str::to_owned).or_else(|| Url::from_file_path(path).ok().map(String::from))
}

fn read(text: String) -> PathBuf {
    let address = Url::parse(&text).ok().filter(|url| url.scheme() == "file");
    address.and_then(|url| url.to_file_path().ok()).unwrap_or_else(|| text.into())
}

/// A path that there may be.
pub mod option {
    use super::{Deserialize, Deserializer, PathBuf, Serialize, Serializer};

    #[expect(missing_docs, clippy::missing_errors_doc, reason = "serde asks for it")]
    pub fn serialize<S: Serializer>(path: &Option<PathBuf>, to: S) -> Result<S::Ok, S::Error> {
        path.as_deref().and_then(super::written).serialize(to)
    }

    #[expect(missing_docs, clippy::missing_errors_doc, reason = "serde asks for it")]
    pub fn deserialize<'d, D: Deserializer<'d>>(from: D) -> Result<Option<PathBuf>, D::Error> {
        Ok(Option::<String>::deserialize(from)?.map(super::read))
    }
}

/// Several paths.
pub mod list {
    use super::{Deserialize, Deserializer, PathBuf, Serializer};

    #[expect(missing_docs, clippy::missing_errors_doc, reason = "serde asks for it")]
    pub fn serialize<S: Serializer>(paths: &[PathBuf], to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq(paths.iter().filter_map(|path| super::written(path)))
    }

    #[expect(missing_docs, clippy::missing_errors_doc, reason = "serde asks for it")]
    pub fn deserialize<'d, D: Deserializer<'d>>(from: D) -> Result<Vec<PathBuf>, D::Error> {
        Ok(Vec::<String>::deserialize(from)?.into_iter().map(super::read).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(unix)]
    use std::os::unix::ffi::OsStrExt;

    #[test]
    fn a_path_comes_back_whatever_its_name() {
        let mut paths: Vec<PathBuf> = ["/a b/ü %41.barwright", "bar.barwright"].map(PathBuf::from).into();
        #[cfg(unix)]
        paths.push(std::ffi::OsStr::from_bytes(b"/a b/\xff %41.barwright").into());
        for path in paths {
            let text = written(&path).expect("it can be written");
            assert_eq!(read(text.clone()), path, "{text}");
            assert_eq!(text.contains("file:"), path.to_str().is_none(), "text stays as it is");
        }
    }
}
