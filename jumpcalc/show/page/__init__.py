"""The Streamlit page: one file for the inputs' state, one for the form, one for each panel."""
