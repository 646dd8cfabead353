//! What was made before tools had bodies, and no tool could use: found now with its figures and its cure.
